package message

import (
	"fmt"

	"bayhand/model/device"
)

// packed writes fields into the bits of one number, the first of them highest.
func (w *writer) packed(f device.Field, s scope) error {
	sum := 0
	for _, part := range f.Of {
		n := 0
		if part.Kind == device.Literal {
			n = int(part.Bytes[len(part.Bytes)-1])
		} else {
			value, err := w.worth(part, s)
			if err != nil {
				return err
			}
			if n, err = w.codec.piece(device.Field{Add: part.Add, Plus: part.Plus}, value); err != nil {
				return err
			}
			if n < 0 || n >= 1<<part.Bits.Count {
				return fmt.Errorf("%s %d: %d does not fit %d bits", part.Value, value, n, part.Bits.Count)
			}
		}
		sum = sum<<part.Bits.Count | n
	}
	w.out.Write(binary(f.Base, sum))
	return nil
}

// packed takes the bits of one number apart.
func (r *reader) packed(f device.Field) error {
	sum, err := r.binary(f)
	if err != nil {
		return err
	}
	left := f.Base.Bits()
	for _, part := range f.Of {
		left -= part.Bits.Count
		n := sum >> left & (1<<part.Bits.Count - 1)
		if part.Kind == device.Literal {
			if n != int(part.Bytes[len(part.Bytes)-1]) {
				return r.other("found the bits %b where %X is due", n, part.Bytes)
			}
			continue
		}
		part.Bits = device.Bits{}
		if err := r.assign(part, n); err != nil {
			return err
		}
	}
	return nil
}
