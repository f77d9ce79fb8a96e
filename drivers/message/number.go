package message

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"strconv"

	"bayhand/model/device"
)

// mostDigits bounds a number of varying length, far above any honest one.
const mostDigits = 9

func isValue(err error) bool { return errors.Is(err, ErrValue) }

// number reads a number and says whether it can stand there.
func (r *reader) number(f device.Field) error {
	start := r.at
	r.ganged = r.ganged || f.Gang
	if isOff(r, f) {
		r.now.Input, r.seen = 0, true
		return nil
	}
	n, err := r.wire(f)
	if err == nil {
		err = r.assign(f, n)
	}
	if err != nil {
		r.at = start
	}
	return err
}

// assign takes a number as it stood on the wire. One that comes in pieces is
// put together, and is right once its last piece is there.
func (r *reader) assign(f device.Field, n int) error {
	if want, parameter := r.codec.numbers[f.Value]; parameter {
		if due, err := r.codec.piece(f, want); err != nil || n != due {
			return r.other("found %d for %s where %d is due", n, f.Value, due)
		}
		return nil
	}
	if f.Bits.Count > 0 {
		n = put(r, f, n)
	}
	n -= r.codec.offset(f)
	if r.ganged = r.ganged || f.Gang; f.Gang && n > 0 {
		n = (n-1)*r.codec.description.Gangs.Of + 1
	}
	switch f.Value {
	case "output":
		r.now.Output, r.seen = n, true
	case "input":
		r.now.Input, r.seen = n, true
	case "closed":
		if n != 0 && n != 1 {
			return fmt.Errorf("%w: input %d is neither closed, 1, nor open, 0, but %d", ErrValue, r.now.Input, n)
		}
		r.seen = n == 1
	case "code":
		r.says.Code = n
	case "preset":
		r.says.Preset = n
	case "packet":
		r.says.Packet = n
	case "length":
		if want := len(r.in) - r.codec.description.Frame.Length.Add; n != want {
			return r.other("it says %d bytes where %d are", n, want)
		}
	}
	return nil
}

// put lays a piece to those that were read before it.
func put(r *reader, f device.Field, n int) int {
	if r.pieces == nil {
		r.pieces = map[string]int{}
	}
	mask := (1<<f.Bits.Count - 1) << f.Bits.Low
	r.pieces[f.Value] = r.pieces[f.Value]&^mask | n<<f.Bits.Low
	return r.pieces[f.Value]
}

// wire reads the number as it stands there.
func (r *reader) wire(f device.Field) (int, error) {
	switch {
	case f.Pad != 0 || f.Left:
		return r.column(f)
	case len(f.Words) > 0:
		return r.word(f)
	case f.Base.Bytes() > 0:
		return r.binary(f)
	case f.Base == device.Hexadecimal:
		return r.ascii(f, 16)
	}
	return r.ascii(f, 10)
}

// isOff reads what stands for no input, if it stands there.
func isOff(r *reader, f device.Field) bool {
	if len(f.Off) == 0 {
		return false
	}
	in, size := r.in[r.at:], len(f.Off)
	if f.Width > size && f.Base.Bytes() == 0 {
		if size = f.Width; len(in) < size || !bytes.Equal(trimmed(f, in[:size]), trimmed(f, f.Off)) {
			return false
		}
	} else if !bytes.HasPrefix(in, f.Off) || f.Base.Bytes() == 0 && f.Width == 0 && runsOn(f, in[size:]) {
		return false
	}
	r.at += size
	return true
}

// runsOn says whether the digits of off go on as those of a longer number.
func runsOn(f device.Field, rest []byte) bool {
	base := 10
	if f.Base == device.Hexadecimal {
		base = 16
	}
	return len(rest) > 0 && isDigit(f.Off[len(f.Off)-1], base) && isDigit(rest[0], base)
}

// trimmed is what stands in a column without what fills it up.
func trimmed(f device.Field, column []byte) []byte {
	pad := cmp.Or(f.Pad, '0')
	if pad == '0' {
		return bytes.TrimSpace(column)
	}
	return bytes.Trim(column, string([]byte{pad, ' '}))
}

// column reads a number that is filled up to a width.
func (r *reader) column(f device.Field) (int, error) {
	if len(r.in)-r.at < f.Width {
		return 0, r.other("found %s where the number %s is due", show(r.in[r.at:]), f.Value)
	}
	inner, size := reader{codec: r.codec, in: trimmed(f, r.in[r.at:r.at+f.Width])}, f.Width
	f.Pad, f.Left, f.Width = 0, false, 0
	n, err := inner.wire(f)
	if err != nil || inner.at != len(inner.in) {
		return 0, r.other("found %s where the number %s is due", show(inner.in), f.Value)
	}
	r.at += size
	return n, nil
}

func (r *reader) binary(f device.Field) (int, error) {
	size := f.Base.Bytes()
	if len(r.in)-r.at < size {
		return 0, r.other("found %s where %s is due", show(r.in[r.at:]), f.Value)
	}
	n, ok := fromBinary(f.Base, r.in[r.at:])
	if !ok {
		return 0, r.other("found %s where %s is due", show(r.in[r.at:]), f.Value)
	}
	r.at += size
	return n, nil
}

// word reads a word of a lookup table, the longest that stands there.
func (r *reader) word(f device.Field) (int, error) {
	best := device.Word{}
	for _, w := range f.Words {
		if len(w.Bytes) > len(best.Bytes) && bytes.HasPrefix(r.in[r.at:], w.Bytes) {
			best = w
		}
	}
	if len(best.Bytes) == 0 {
		return 0, r.other("found %s where a word for %s is due", show(r.in[r.at:]), f.Value)
	}
	r.at += len(best.Bytes)
	return best.Number, nil
}

// ascii reads digits, before them a sign where no width is fixed: numeric
// response data NR1 may have one (IEEE 488.2, 8.7.2).
func (r *reader) ascii(f device.Field, base int) (int, error) {
	end := r.at
	if f.Width == 0 && end < len(r.in) && (r.in[end] == '-' || r.in[end] == '+') {
		end++
	}
	first := end
	for end < len(r.in) && isDigit(r.in[end], base) && (f.Width == 0 || end-first < f.Width) {
		end++
	}
	if end == first || f.Width > 0 && end-first < f.Width || f.Width == 0 && end-first > mostDigits {
		return 0, r.other("found %s where the number %s is due", show(r.in[r.at:]), f.Value)
	}
	n, err := strconv.ParseInt(string(r.in[r.at:end]), base, 64)
	if err != nil {
		return 0, r.other("found %s where the number %s is due", show(r.in[r.at:end]), f.Value)
	}
	r.at = end
	return int(n), nil
}

func isDigit(b byte, base int) bool {
	_, err := strconv.ParseUint(string(rune(b)), base, 8)
	return b < 0x80 && err == nil
}
