package message

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"bayhand/model/device"
)

// reader reads one message.
type reader struct {
	codec *Codec
	in    []byte
	at    int
	// tail is the length of what follows the field being read, where that is
	// known; else negative.
	tail int
	says Says
	// now is the crosspoint that numbers speak of; seen says whether one did.
	now  Crosspoint
	seen bool
}

func (r *reader) other(format string, args ...any) error {
	return fmt.Errorf("%w: byte %d: %s", ErrOther, r.at+1, fmt.Sprintf(format, args...))
}

// message reads all of it; bytes left over make it another message.
func (r *reader) message(fields []device.Field) error {
	if err := r.fields(fields, 0); err != nil {
		return err
	}
	if r.at < len(r.in) {
		return r.other("%s follows its end", show(r.in[r.at:]))
	}
	return r.commit()
}

// fields reads fields of which after bytes must be left over; negative where
// that is not known.
func (r *reader) fields(fields []device.Field, after int) error {
	for i, f := range fields {
		r.tail = width(fields[i+1:])
		if after < 0 {
			r.tail = -1
		} else if r.tail >= 0 {
			r.tail += after
		}
		if err := r.field(f, fields[i+1:]); err != nil {
			return err
		}
	}
	return nil
}

// width is the number of bytes that the fields take; negative where it varies.
func width(fields []device.Field) int {
	sum := 0
	for _, f := range fields {
		switch {
		case f.Kind == device.Literal:
			sum += len(f.Bytes)
		case f.Kind == device.Number && (f.Base == device.SevenBit || f.Base == device.EightBit):
			sum++
		case f.Kind == device.Number && f.Width > 0:
			sum += f.Width
		default:
			return -1
		}
	}
	return sum
}

func (r *reader) field(f device.Field, next []device.Field) error {
	switch f.Kind {
	case device.Literal:
		return r.literal(f.Bytes)
	case device.Number:
		return r.number(f)
	case device.Text:
		return r.text(f, next)
	case device.Each:
		return r.each(f)
	case device.Block:
		return r.block(f)
	case device.Channels:
		return r.channels()
	case device.FieldUnknown:
	}
	return r.other("the field %v cannot be read", f.Kind)
}

func (r *reader) literal(want []byte) error {
	if !bytes.HasPrefix(r.in[r.at:], want) {
		return r.other("found %s where %s is due", show(r.in[r.at:]), show(want))
	}
	r.at += len(want)
	return nil
}

// end is where the field being read has to stop at the latest.
func (r *reader) end() int {
	if r.tail < 0 {
		return len(r.in)
	}
	return max(r.at, len(r.in)-r.tail)
}

// text runs to where what follows begins: by its length if that is known, else
// up to the next literal.
func (r *reader) text(f device.Field, next []device.Field) error {
	end := r.end()
	if r.tail < 0 && len(next) > 0 && next[0].Kind == device.Literal {
		i := bytes.Index(r.in[r.at:], next[0].Bytes)
		if i < 0 {
			return r.other("%s is missing after the text", show(next[0].Bytes))
		}
		end = r.at + i
	}
	found := readable(r.in[r.at:end])
	switch f.Value {
	case "message":
		r.says.Text = found
	case "identity":
		r.says.Identity = found
	default:
		if want := r.codec.words[f.Value]; found != want {
			return r.other("found %s %q where %q is due", f.Value, found, want)
		}
	}
	r.at = end
	return nil
}

// commit takes the crosspoint that numbers spoke of, if any.
func (r *reader) commit() error {
	if !r.seen {
		return nil
	}
	c := r.now
	r.now, r.seen = Crosspoint{}, false
	if err := r.codec.exists(c); err != nil {
		return err
	}
	r.says.Crosspoints = append(r.says.Crosspoints, c)
	return nil
}

// readable is text as a person can read it: as it stands if all of it can be
// printed, else byte by byte.
func readable(p []byte) string {
	text := string(p)
	if !utf8.ValidString(text) || strings.ContainsFunc(text, func(c rune) bool { return !unicode.IsPrint(c) }) {
		return fmt.Sprintf("% X", p)
	}
	return strings.TrimSpace(text)
}

// show is the beginning of some bytes, for a message.
func show(p []byte) string {
	if len(p) == 0 {
		return "the end"
	}
	const most = 24
	if len(p) > most {
		return show(p[:most]) + "..."
	}
	for _, b := range p {
		if b >= 0x7F || b < ' ' && b != '\n' && b != '\r' && b != '\t' {
			return fmt.Sprintf("% X", p)
		}
	}
	return fmt.Sprintf("%q", p)
}
