package answer

import (
	"bytes"
	"strconv"
	"strings"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
	"bayhand/simulators/scpi"
)

// maxSteps bounds the work on one message: a description whose numbers run
// into one another could be read in very many ways.
const maxSteps = 1 << 18

// maxRounds bounds the rounds of an Each; no matrix has more outputs.
const maxRounds = matrix.MaxSize

// matcher fits the fields of one exchange on a message.
type matcher struct {
	settings settings
	outputs  int
	inputs   int
	frame    device.Frame
	// gang is how many outputs a gang has, for numbers that count gangs.
	gang int

	message []byte
	list    []bound
	steps   int
	// short is true where the message ended while fields were still to come: it
	// may be the beginning of a whole one.
	short bool
}

// then is what must fit after a field, from that place of the message on.
type then func(at int) bool

// whole says whether the fields fit the message to its last byte.
func (m *matcher) whole(fields []device.Field) bool {
	return m.fields(fields, 0, func(at int) bool { return at == len(m.message) })
}

func (m *matcher) fields(fields []device.Field, at int, next then) bool {
	if m.steps++; m.steps > maxSteps {
		return false
	}
	if len(fields) == 0 {
		return next(at)
	}
	rest := func(at int) bool { return m.fields(fields[1:], at, next) }
	kept := len(m.list)
	fits := m.field(fields[0], at, rest)
	if !fits {
		m.list = m.list[:kept]
	}
	return fits
}

func (m *matcher) field(f device.Field, at int, next then) bool {
	switch f.Kind {
	case device.Literal:
		return m.literal(f.Bytes, at, next)
	case device.Number:
		return m.number(f, at, next)
	case device.Text:
		return m.text(f, at, next)
	case device.Each:
		return m.round(f, at, 1, next)
	case device.Block:
		return m.block(f, at, next)
	case device.Channels:
		return m.channels(f, at, next)
	case device.Checked:
		return m.checked(f, at, next)
	case device.Hexed:
		return m.hexed(f, at, next)
	case device.Packed:
		return m.packed(f, at, next)
	default:
		return m.more(f, at, next)
	}
}

func (m *matcher) literal(want []byte, at int, next then) bool {
	have := m.message[at:]
	if len(have) < len(want) {
		m.short = m.short || bytes.HasPrefix(want, have)
		return false
	}
	return bytes.HasPrefix(have, want) && next(at+len(want))
}

// text is a parameter's value, or anything up to where the rest fits.
func (m *matcher) text(f device.Field, at int, next then) bool {
	if value, ok := m.settings.text(f.Value); ok {
		return m.literal(fill(f, []byte(value), ' '), at, next)
	}
	first, last := at, len(m.message)
	if f.Width > 0 {
		first, last = at+f.Width, min(last, at+f.Width)
	}
	for end := first; end <= last; end++ {
		kept := len(m.list)
		if f.Value == labelValue {
			m.list = append(m.list, bound{value: labelValue, text: strings.TrimSpace(string(m.message[at:end]))})
		}
		if next(end) {
			return true
		}
		m.list = m.list[:kept]
	}
	return false
}

// round is one round of an Each and those after it.
func (m *matcher) round(f device.Field, at, count int, next then) bool {
	if count > maxRounds || f.Over == device.Outputs && count > m.outputs {
		return false
	}
	kept := len(m.list)
	m.list = append(m.list, bound{over: f.Over})
	fits := m.fields(f.Of, at, func(end int) bool {
		if end == at {
			return false // a round that takes nothing would have no end
		}
		enough := f.Over != device.Outputs || count == m.outputs
		if enough && next(end) {
			return true
		}
		return m.literal(f.Separator, end, func(at int) bool { return m.round(f, at, count+1, next) })
	})
	if !fits {
		m.list = m.list[:kept]
	}
	return fits
}

// block is a definite-length block (IEEE 488.2, 7.7.6.2); where the description
// says so its content may also come bare.
func (m *matcher) block(f device.Field, at int, next then) bool {
	from, length, ok := m.blockHeader(at)
	if ok {
		end := from + length
		return m.fields(f.Of, from, func(at int) bool { return at == end && next(end) })
	}
	return f.Bare && m.fields(f.Of, at, next)
}

func (m *matcher) blockHeader(at int) (from, length int, ok bool) {
	have := m.message[at:]
	if len(have) < 2 || have[0] != '#' || have[1] < '1' || have[1] > '9' {
		return 0, 0, false
	}
	digits := int(have[1] - '0')
	if len(have) < 2+digits {
		return 0, 0, false
	}
	n, err := strconv.ParseUint(string(have[2:2+digits]), 10, 31)
	if err != nil || int(n) > len(have)-2-digits {
		return 0, 0, false
	}
	return at + 2 + digits, int(n), true
}

// channels is a channel list up to its closing parenthesis.
func (m *matcher) channels(f device.Field, at int, next then) bool {
	length := bytes.IndexByte(m.message[at:], ')') + 1
	if length == 0 {
		return false
	}
	rows := scpi.RowsNamed(m.settings.word(rowsParameter))
	// What lies outside the matrix is understood here and refused later.
	list, err := rows.Channels(string(m.message[at:at+length]), func(matrix.Crosspoint) bool { return true })
	if err != nil {
		return false
	}
	if f.Over == device.Inputs {
		if len(list) != m.inputs {
			return false
		}
		m.list = append(m.list, bound{value: outputValue, number: int(list[0].Output)})
		return next(at + length)
	}
	for _, c := range list {
		m.list = append(m.list, bound{crosspoint: c})
	}
	return next(at + length)
}
