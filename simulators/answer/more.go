package answer

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/big"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

// more fits the fields that hold others or many.
func (m *matcher) more(f device.Field, at int, next then) bool {
	switch f.Kind {
	case device.Either:
		for _, choice := range f.Choices {
			if m.fields(choice, at, next) {
				return true
			}
		}
	case device.Nibbles, device.Sevens:
		return m.recoded(f, at, next)
	case device.Bitmap:
		return m.bitmap(f, at, next)
	case device.Object:
		return m.object(f, at, next)
	case device.Pause:
		return next(at)
	default:
	}
	return false
}

// recoded fits fields on what nibbles or sevens stand for, the longest first.
func (m *matcher) recoded(f device.Field, at int, next then) bool {
	for end := len(m.message); end > at; end-- {
		data, ok := decoded(f, m.message[at:end])
		if !ok {
			continue
		}
		inner := *m
		inner.message = data
		fits := inner.fields(f.Of, 0, func(at int) bool { return at == len(data) })
		m.steps = inner.steps
		kept := len(m.list)
		if m.list = inner.list; fits && next(end) {
			return true
		}
		m.list = m.list[:kept]
	}
	return false
}

// decoded is what some bytes stand for; false where they are none.
func decoded(f device.Field, p []byte) ([]byte, bool) {
	size := 2
	if f.Kind == device.Sevens {
		size = 8
	}
	var out []byte
	for len(p) > 0 {
		group := p[:min(size, len(p))]
		p = p[len(group):]
		rest, special := group[1:], group[0]
		if f.First == device.Low {
			rest, special = group[:len(group)-1], group[len(group)-1]
		}
		if len(rest) == 0 {
			return nil, false
		}
		if f.Kind == device.Nibbles {
			if special > 15 || rest[0] > 15 {
				return nil, false
			}
			out = append(out, special*16+rest[0])
			continue
		}
		for i, b := range rest {
			if b >= 128 || special >= 128 {
				return nil, false
			}
			if special/weight(f, i)%2 == 1 {
				b += 128
			}
			out = append(out, b)
		}
	}
	return out, true
}

// weight is that of the bit which belongs to a byte of seven.
func weight(f device.Field, i int) byte {
	if f.Order == device.Low {
		return 1 << i
	}
	return 64 >> i
}

// coded is the inverse of decoded.
func coded(f device.Field, p []byte) []byte {
	size := 1
	if f.Kind == device.Sevens {
		size = 7
	}
	var out []byte
	for len(p) > 0 {
		group := p[:min(size, len(p))]
		p = p[len(group):]
		var special byte
		var rest []byte
		for i, b := range group {
			if f.Kind == device.Nibbles {
				special, rest = b/16, append(rest, b%16)
				continue
			}
			special += b / 128 * weight(f, i)
			rest = append(rest, b%128)
		}
		if f.First == device.Low {
			out = append(append(out, rest...), special)
		} else {
			out = append(append(out, special), rest...)
		}
	}
	return out
}

// more writes them.
func (w *writer) more(to []byte, f device.Field) ([]byte, error) {
	switch f.Kind {
	case device.Either:
		return w.fields(to, f.Choices[0])
	case device.Nibbles, device.Sevens:
		content, err := w.fields(nil, f.Of)
		return append(to, coded(f, content)...), err
	case device.Bitmap:
		return append(to, w.bitmap(f)...), nil
	case device.Object:
		value, err := w.object(f)
		if err != nil {
			return nil, err
		}
		text, err := json.Marshal(value)
		return append(to, text...), err
	case device.Pause:
		return to, nil
	default:
		return nil, fmt.Errorf("a field of kind %s in an answer", f.Kind)
	}
}

// chart is how a bitmap lies in its digits or bytes: a number of so many units of so
// many bits each; bits 0 for one decimal number.
type chart struct{ count, units, bits int }

func chartOf(f device.Field, outputs, inputs int) chart {
	c := chart{count: inputs, bits: map[device.Base]int{device.Hexadecimal: 4, device.SevenBit: 7, device.EightBit: 8}[f.Base]}
	switch f.Over {
	case device.Outputs:
		c.count = outputs
	case device.Crosspoints:
		c.count = inputs * outputs
	default:
	}
	if c.units = f.Width; c.units == 0 && c.bits > 0 {
		c.units = (c.count + c.bits - 1) / c.bits
	}
	return c
}

// bit is which bit of the number stands for one of those that are counted, from 0.
func (c chart) bit(f device.Field, number int) int {
	switch {
	case f.First != device.High:
		return number
	case c.bits == 0:
		return c.count - 1 - number
	}
	return c.units*c.bits - 1 - number
}

func (w *writer) bitmap(f device.Field) []byte {
	outputs, inputs := w.device.matrix.Size()
	c, value := chartOf(f, outputs, inputs), new(big.Int)
	for i := range c.count {
		at := matrix.Crosspoint{Output: w.now.Output, Input: matrix.Input(i + 1)}
		switch f.Over {
		case device.Outputs:
			at = matrix.Crosspoint{Output: matrix.Output(i + 1), Input: w.now.Input}
		case device.Crosspoints:
			at = matrix.Crosspoint{Output: matrix.Output(i/inputs + 1), Input: matrix.Input(i%inputs + 1)}
		default:
		}
		if w.device.matrix.Closed(at) {
			value.SetBit(value, c.bit(f, i), 1)
		}
	}
	return c.write(f, value)
}

func (c chart) write(f device.Field, value *big.Int) []byte {
	if c.bits == 0 {
		return fill(f, []byte(value.String()), '0')
	}
	unit := big.NewInt(1 << c.bits)
	out := make([]byte, c.units)
	for i := range out {
		var rest big.Int
		value, _ = new(big.Int).DivMod(value, unit, &rest)
		at := c.units - 1 - i
		if f.Order == device.Low {
			at = i
		}
		out[at] = byte(rest.Int64())
		if f.Base == device.Hexadecimal {
			out[at] = fmt.Sprintf("%X", out[at])[0]
		}
	}
	return out
}

// bitmap takes the inputs of one output out of a request.
func (m *matcher) bitmap(f device.Field, at int, next then) bool {
	c := chartOf(f, m.outputs, m.inputs)
	if c.bits == 0 || at+c.units > len(m.message) {
		m.short = m.short || c.bits > 0
		return false
	}
	value := new(big.Int)
	for i := range c.units {
		from := at + i
		if f.Order == device.Low {
			from = at + c.units - 1 - i
		}
		digit := int64(m.message[from])
		if f.Base == device.Hexadecimal {
			if _, err := fmt.Sscanf(string(m.message[from]), "%X", &digit); err != nil {
				return false
			}
		}
		if digit >= 1<<c.bits {
			return false
		}
		value = value.Add(value.Mul(value, big.NewInt(1<<c.bits)), big.NewInt(digit))
	}
	kept := len(m.list)
	m.list = append(m.list, bound{value: inputValue})
	for i := range c.count {
		if value.Bit(c.bit(f, i)) == 1 {
			m.list[kept].number = i + 1
		}
	}
	if next(at + c.units) {
		return true
	}
	m.list = m.list[:kept]
	return false
}

var errNoJSON = errors.New("it is no value of JSON")
