package answer

import (
	"bytes"

	"bayhand/model/device"
)

// delimited cuts a stream into messages that begin and end with certain bytes, and
// takes the escapes out.
type delimited struct {
	frame device.Frame
	raw   []byte
}

// add takes one byte and gives a message that it ends.
func (d *delimited) add(b byte) (message []byte) {
	d.raw = append(d.raw, b)
	for len(d.raw) > 0 {
		start := d.frame.Start[:min(len(d.frame.Start), len(d.raw))]
		if bytes.HasPrefix(d.raw, start) && len(d.raw) < MaxMessage {
			break
		}
		d.raw = d.raw[1:]
	}
	plain, whole := d.plain()
	if !whole {
		return nil
	}
	d.clear()
	return plain
}

// plain is the message without its escapes, and whether it is whole.
func (d *delimited) plain() (plain []byte, whole bool) {
	if len(d.raw) < len(d.frame.Start) {
		return nil, false
	}
	plain = append(plain, d.frame.Start...)
	rest := d.raw[len(d.frame.Start):]
	for i := 0; i < len(rest); i++ {
		if bytes.HasPrefix(rest[i:], d.frame.End) {
			last := i + len(d.frame.End) + d.frame.After
			if len(rest) < last {
				return nil, false
			}
			return append(plain, rest[i:last]...), true
		}
		if len(d.frame.Escaped) == 0 || rest[i] != d.frame.Escape {
			plain = append(plain, rest[i])
			continue
		}
		if i++; i == len(rest) {
			return nil, false
		}
		meant := rest[i]
		for _, e := range d.frame.Escaped {
			if e.As == rest[i] {
				meant = e.Byte
			}
		}
		plain = append(plain, meant)
	}
	return nil, false
}

func (d *delimited) clear() { d.raw = nil }

// stuff writes a message with its escapes.
func (d *Device) stuff(message []byte) []byte {
	f := d.description.Frame
	from, to := len(f.Start), len(message)-len(f.End)-f.After
	if f.Kind != device.Delimited || to < from {
		return message
	}
	out := append([]byte(nil), message[:from]...)
	for _, b := range message[from:to] {
		plain := true
		for _, e := range f.Escaped {
			if e.Byte == b {
				out, plain = append(out, f.Escape, e.As), false
			}
		}
		if plain {
			out = append(out, b)
		}
	}
	return append(out, message[to:]...)
}
