package message

import (
	"fmt"
	"strconv"

	"bayhand/model/device"
)

// A bitmap is one long number with a bit for each input of an output, each output of
// an input, or each crosspoint, output by output. It is written in units: digits of
// four bits, or bytes of seven or eight. Number 1 is its lowest bit, or with first:
// high its highest; the unit with the highest bits stands first, or with order: low
// last.

// bitmapBits is how many bits of it mean something.
func (c *Codec) bitmapBits(f device.Field) int {
	switch f.Over {
	case device.Outputs:
		return c.outputs
	case device.Crosspoints:
		return c.inputs * c.outputs
	case device.Inputs, device.Changes, device.OverUnknown:
	}
	return c.inputs
}

// unitBits is how many bits one of its units has; 0 for a decimal number.
func unitBits(f device.Field) int {
	if f.Base == device.Hexadecimal {
		return 4
	}
	return f.Base.Bits()
}

// bitmapLength is how many bytes it takes; negative for a decimal number of no width.
func (c *Codec) bitmapLength(f device.Field) int {
	switch unit := unitBits(f); {
	case f.Width > 0:
		return f.Width
	case unit > 0:
		return (c.bitmapBits(f) + unit - 1) / unit
	}
	return -1
}

// place is the bit of number i, counted from 0, above the lowest bit of all.
func place(c *Codec, f device.Field, i int) int {
	if f.First != device.High {
		return i
	}
	if unit := unitBits(f); unit > 0 {
		return unit*c.bitmapLength(f) - 1 - i
	}
	return c.bitmapBits(f) - 1 - i
}

// index is which bit of a bitmap a crosspoint is.
func index(c *Codec, f device.Field, x Crosspoint) int {
	switch f.Over {
	case device.Outputs:
		return x.Output - 1
	case device.Crosspoints:
		return (x.Output-1)*c.inputs + x.Input - 1
	case device.Inputs, device.Changes, device.OverUnknown:
	}
	return x.Input - 1
}

func (w *writer) bitmap(f device.Field, s scope) error {
	set := map[int]bool{}
	about := w.says.Crosspoints
	if s.inside {
		about = []Crosspoint{s.crosspoint}
	}
	for _, x := range about {
		if err := w.codec.exists(x); err != nil {
			return err
		}
		if x.Input > 0 {
			set[place(w.codec, f, index(w.codec, f, x))] = true
		}
	}
	text, err := writeBits(w.codec, f, set)
	w.out.Write(text)
	return err
}

// writeBits writes a bitmap of which some bits are set.
func writeBits(c *Codec, f device.Field, set map[int]bool) ([]byte, error) {
	unit, length := unitBits(f), c.bitmapLength(f)
	if unit == 0 {
		n := uint64(0)
		for at := range set {
			n |= 1 << at
		}
		return filled(f, []byte(strconv.FormatUint(n, 10)), '0'), nil
	}
	out := make([]byte, length)
	for at := range set {
		if at < 0 || at >= unit*length {
			return nil, fmt.Errorf("a bitmap of %d bits has no room for %d", unit*length, c.bitmapBits(f))
		}
		out[unitAt(c, f, at/unit)] |= 1 << (at % unit)
	}
	if f.Base == device.Hexadecimal {
		for i, digit := range out {
			out[i] = "0123456789ABCDEF"[digit]
		}
	}
	return out, nil
}

// unitAt is where the unit stands that is so many above the lowest.
func unitAt(c *Codec, f device.Field, unit int) int {
	if f.Order == device.Low {
		return unit
	}
	return c.bitmapLength(f) - 1 - unit
}

// bitmap reads the crosspoints of one. Bits that mean nothing must not be set.
func (r *reader) bitmap(f device.Field) error {
	isSet, size, err := r.bits(f)
	if err != nil {
		return err
	}
	r.at += size
	count, set := r.codec.bitmapBits(f), 0
	for i := range count {
		if !isSet(place(r.codec, f, i)) {
			continue
		}
		set++
		r.says.Crosspoints = append(r.says.Crosspoints, r.crosspointAt(f, i))
	}
	for at := range 8 * size {
		if isSet(at) {
			set--
		}
	}
	if set != 0 {
		return fmt.Errorf("%w: the bitmap has bits that stand for none of the %d", ErrValue, count)
	}
	if f.Over == device.Inputs {
		r.seen = false // what it says of the output is said
	}
	return nil
}

// crosspointAt is the crosspoint of bit i, counted from 0.
func (r *reader) crosspointAt(f device.Field, i int) Crosspoint {
	switch f.Over {
	case device.Outputs:
		return Crosspoint{Output: i + 1, Input: r.now.Input}
	case device.Crosspoints:
		return Crosspoint{Output: i/r.codec.inputs + 1, Input: i%r.codec.inputs + 1}
	case device.Inputs, device.Changes, device.OverUnknown:
	}
	output := r.now.Output
	if output == 0 {
		output = max(1, r.asked)
	}
	return Crosspoint{Output: output, Input: i + 1}
}

// bits gives a bitmap bit by bit, and how many bytes it took.
func (r *reader) bits(f device.Field) (isSet func(at int) bool, size int, err error) {
	unit, in := unitBits(f), r.in[r.at:]
	if unit == 0 {
		before := r.at
		n, err := r.ascii(device.Field{Value: "bitmap", Base: device.Decimal, Width: f.Width}, 10)
		size, r.at = r.at-before, before
		return func(at int) bool { return at < 63 && n>>at&1 == 1 }, size, err
	}
	size = r.codec.bitmapLength(f)
	if len(in) < size {
		return nil, 0, r.other("found %s where a bitmap of %d is due", show(in), size)
	}
	units := make([]int, size)
	for i := range units {
		n := uint64(in[i])
		if f.Base == device.Hexadecimal {
			if n, err = strconv.ParseUint(string(rune(in[i])), 16, 8); err != nil {
				return nil, 0, r.other("found %s where the digits of a bitmap are due", show(in))
			}
		}
		if n >= 1<<unit {
			return nil, 0, r.other("found %s where a bitmap is due", show(in))
		}
		units[i] = int(n)
	}
	return func(at int) bool {
		return at < unit*size && units[unitAt(r.codec, f, at/unit)]>>(at%unit)&1 == 1
	}, size, nil
}
