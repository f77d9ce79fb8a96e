package answer

import (
	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

// Values of fields that mean the same in every description.
const (
	outputValue   = "output"
	inputValue    = "input"
	codeValue     = "code"
	messageValue  = "message"
	identityValue = "identity"
	packetValue   = "packet"
	closedValue   = "closed"
	lengthValue   = "length"
	presetValue   = "preset"
	labelValue    = "label"
	rowsParameter = "rows"
)

// bound is what one field of a message turned out to hold.
type bound struct {
	// over is set for the beginning of a round of an Each, and nothing else.
	over device.Over
	// crosspoint is set for a channel of a channel list, and nothing else.
	crosspoint matrix.Crosspoint
	value      string
	number     int
	// piece is set where only some bits of the number stood there; number is then
	// those bits in their place, with added still to be taken off the whole.
	piece bool
	added int
	// text is that of a label.
	text string
}

// request is a message that was understood.
type request struct {
	exchange device.Exchange
	// changes are the crosspoints that it names; input 0 is off or not said.
	changes []matrix.Crosspoint
	// every is true where it ran through all outputs and not through changes.
	every bool
	// numbers are all others, such as the packet's.
	numbers map[string]int
	// label is the text of a label.
	label string
}

// gather makes a request of what was bound, in the order of the message. An
// output and an input side by side, or in one round, are one change; rounds
// over all outputs count them from 1.
func gather(e device.Exchange, list []bound) request {
	r := request{exchange: e, numbers: map[string]int{}}
	var now matrix.Crosspoint
	count, some := 0, false
	pieces := map[string]int{}
	flush := func() {
		clear(pieces)
		if some {
			r.changes = append(r.changes, now)
		}
		now, some = matrix.Crosspoint{}, false
	}
	for _, b := range list {
		if b.piece {
			pieces[b.value] |= b.number
			b.number = pieces[b.value] - b.added
		}
		switch {
		case b.over != device.OverUnknown:
			flush()
			if count++; b.over == device.Outputs {
				now.Output, some, r.every = matrix.Output(count), true, true
			}
		case b.crosspoint != matrix.Crosspoint{}:
			r.changes = append(r.changes, b.crosspoint)
		case b.value == outputValue:
			now.Output, some = matrix.Output(b.number), true
		case b.value == inputValue:
			now.Input, some = matrix.Input(b.number), true
		case b.value == labelValue:
			r.label = b.text
		default:
			r.numbers[b.value] = b.number
		}
	}
	flush()
	return r
}
