package message

import (
	"errors"
	"strconv"

	"bayhand/model/device"
)

// mostDigits bounds a number of varying length, far above any honest one.
const mostDigits = 9

func isValue(err error) bool { return errors.Is(err, ErrValue) }

// number reads a number and says whether it can stand there.
func (r *reader) number(f device.Field) error {
	start := r.at
	n, err := r.wire(f)
	if err != nil {
		return err
	}
	n -= f.Add
	switch f.Value {
	case "output":
		r.now.Output, r.seen = n, true
	case "input":
		r.now.Input, r.seen = n, true
	case "code":
		r.says.Code = n
	case "packet":
		r.says.Packet = n
	default:
		if want := r.codec.numbers[f.Value]; n != want {
			r.at = start
			return r.other("found %s %d where %d is due", f.Value, n, want)
		}
	}
	return nil
}

// wire reads the number as it stands there.
func (r *reader) wire(f device.Field) (int, error) {
	switch f.Base {
	case device.SevenBit, device.EightBit:
		if r.at >= len(r.in) || f.Base == device.SevenBit && r.in[r.at] > 0x7F {
			return 0, r.other("found %s where %s is due", show(r.in[r.at:]), f.Value)
		}
		r.at++
		return int(r.in[r.at-1]), nil
	case device.Hexadecimal:
		return r.ascii(f, 16)
	case device.Decimal, device.BaseUnknown:
	}
	return r.ascii(f, 10)
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
