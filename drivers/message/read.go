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
	// asked is the output that was asked for; 0 where that is no matter.
	asked int
	// reads is true for an answer about crosspoints, in which one output that cannot be
	// understood leaves the others as they are; unclear is what stood there in the
	// place of the input of now.
	reads   bool
	unclear string
	// ganged is true for a message that counts in gangs: what it says of the first
	// output of one, it says of them all.
	ganged bool
	// pieces are the numbers that come in pieces, as far as they were read.
	pieces map[string]int
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
		r.tail = r.codec.width(fields[i+1:])
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
func (c *Codec) width(fields []device.Field) int {
	sum := 0
	for _, f := range fields {
		n := c.widthOf(f)
		if n < 0 {
			return -1
		}
		sum += n
	}
	return sum
}

func (c *Codec) widthOf(f device.Field) int {
	switch f.Kind {
	case device.Literal:
		return len(f.Bytes)
	case device.Number, device.Text, device.Packed:
		switch {
		case f.Width > 0:
			return f.Width
		case len(f.Words) == 0 && f.Base.Bytes() > 0:
			return f.Base.Bytes()
		}
	case device.Checked, device.Hexed, device.Nibbles, device.Sevens:
		if n := c.width(f.Of); n >= 0 {
			return recodedLength(f, n)
		}
	case device.Bitmap:
		return c.bitmapLength(f)
	case device.Either:
		n := c.width(f.Choices[0])
		for _, choice := range f.Choices[1:] {
			if c.width(choice) != n {
				return -1
			}
		}
		return n
	case device.Pause:
		return 0
	case device.Each, device.Block, device.Channels, device.Object, device.FieldUnknown:
	}
	return -1
}

func (r *reader) field(f device.Field, next []device.Field) error {
	switch f.Kind {
	case device.Literal:
		return r.literal(f.Bytes)
	case device.Number:
		err := r.number(f)
		if err != nil && f.Value == "input" && r.passOver(f, next) {
			return nil
		}
		return err
	case device.Text:
		return r.text(f, next)
	case device.Each:
		return r.each(f)
	case device.Block:
		return r.block(f)
	case device.Channels:
		return r.channels(f)
	case device.Checked:
		return r.checked(f)
	case device.Hexed, device.Nibbles, device.Sevens:
		return r.recoded(f)
	case device.Packed:
		return r.packed(f)
	case device.Either:
		return r.either(f)
	case device.Bitmap:
		return r.bitmap(f)
	case device.Object:
		return r.object(f)
	case device.Pause:
		return nil // it takes time, and no bytes
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

// text is a parameter's own, or runs to where what follows begins: by its length if
// that is known, else up to the next literal.
func (r *reader) text(f device.Field, next []device.Field) error {
	if own, parameter := r.codec.words[f.Value]; parameter && f.Width == 0 {
		return r.literal([]byte(own))
	}
	end := r.end()
	if f.Width > 0 {
		if end = r.at + f.Width; end > len(r.in) {
			return r.other("found %s where %d characters of %s are due", show(r.in[r.at:]), f.Width, f.Value)
		}
	} else if r.tail < 0 && len(next) > 0 && next[0].Kind == device.Literal {
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
	case "label":
		r.says.Label = found
	case "identity":
		r.says.Identity = found
	default:
		if want := r.codec.words[f.Value]; found != strings.TrimSpace(want) {
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
	switch {
	case c.Output != 0:
	case r.asked != 0:
		c.Output = r.asked
	case r.codec.outputs == 1:
		c.Output = 1 // a matrix of one output need not name it
	}
	if err := r.about(c.Output); err != nil {
		return err
	}
	said := r.unclear
	r.now, r.seen, r.pieces, r.unclear = Crosspoint{}, false, nil, ""
	list := []Crosspoint{c}
	if r.ganged {
		list = r.codec.members(c)
	}
	for _, c := range list {
		if err := r.take(c, said); err != nil {
			return err
		}
	}
	return nil
}

// take takes a crosspoint that a message says; said is what stands in the place of its
// input and is none, if not empty.
func (r *reader) take(c Crosspoint, said string) error {
	err := r.codec.exists(c)
	if err != nil && said == "" {
		said = fmt.Sprintf("input %d", c.Input)
	}
	if said != "" && r.reads && c.Output >= 1 && c.Output <= r.codec.outputs {
		r.says.Unclear = append(r.says.Unclear, Unclear{c.Output, said})
		return nil
	}
	if err != nil {
		return err
	}
	r.says.Crosspoints = append(r.says.Crosspoints, c)
	return nil
}

// about says whether an answer is about the output that was asked for.
func (r *reader) about(output int) error {
	if r.asked != 0 && output != r.asked {
		return r.other("it speaks of output %d, and output %d was asked for", output, r.asked)
	}
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
