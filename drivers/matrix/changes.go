package matrix

import (
	"fmt"
	"slices"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// changeMessage is one message that changes crosspoints.
type changeMessage struct {
	role        device.Role
	crosspoints []message.Crosspoint
	// preset is the number of one that is recalled; the crosspoints are those that move.
	preset int
}

// changes are the messages that open, then close. Nothing is sent before all
// of it was found possible.
func (m *Matrix) changes(open, close []patch.Crosspoint) ([]changeMessage, error) {
	opens, err := m.told(open, true)
	if err != nil {
		return nil, err
	}
	closes, err := m.told(close, false)
	if err != nil {
		return nil, err
	}
	for _, c := range opens {
		if c.Input > 0 && slices.Contains(closes, c) {
			return nil, fmt.Errorf("output %d input %d is to be opened and closed at once", c.Output, c.Input)
		}
	}
	if m.talk.device.Switching == device.ByCrosspoint {
		return append(m.batches(device.Open, opens), m.batches(device.Close, closes)...), nil
	}
	return m.byOutput(opens, closes)
}

// told are crosspoints in the device's numbers, as messages name them.
func (m *Matrix) told(points []patch.Crosspoint, opening bool) ([]message.Crosspoint, error) {
	numbers, err := m.numbers(points)
	if err != nil {
		return nil, err
	}
	return m.leading(numbers, opening)
}

// byOutput turns crosspoints into what outputs listen to.
func (m *Matrix) byOutput(opens, closes []message.Crosspoint) ([]changeMessage, error) {
	for i := 1; i < len(closes); i++ {
		if closes[i].Output == closes[i-1].Output {
			return nil, fmt.Errorf("output %d takes one input, not %d and %d at once", closes[i].Output, closes[i-1].Input, closes[i].Input)
		}
	}
	var off []message.Crosspoint
	for _, c := range opens {
		moves := slices.ContainsFunc(closes, func(d message.Crosspoint) bool { return d.Output == c.Output })
		// Amplifiers pass from one input to the next by themselves. Contacts
		// would join the two for a moment, so those let go first.
		if !moves || m.talk.studio.Kind == studio.Contacts {
			off = append(off, message.Crosspoint{Output: c.Output})
		}
	}
	off = slices.Compact(off)
	role := device.Off
	if _, ok := m.talk.device.Exchange(device.Off); !ok {
		role = device.Set // to input 0
	}
	return append(m.batches(role, off), m.batches(device.Set, closes)...), nil
}

func (m *Matrix) batches(role device.Role, crosspoints []message.Crosspoint) []changeMessage {
	e, _ := m.talk.device.Exchange(role)
	var messages []changeMessage
	for batch := range slices.Chunk(crosspoints, max(1, e.Batch)) {
		for _, part := range m.parts(e, batch) {
			messages = append(messages, changeMessage{role: role, crosspoints: part})
		}
	}
	return messages
}

// parts cuts a batch in halves until each is a message that is not larger than
// the device takes. One crosspoint alone is not cut: the device will say what it
// thinks of it.
func (m *Matrix) parts(e device.Exchange, batch []message.Crosspoint) [][]message.Crosspoint {
	if e.Largest == 0 || len(batch) == 1 {
		return [][]message.Crosspoint{batch}
	}
	p, err := m.talk.codec.Send(e.Role, message.Says{Crosspoints: batch})
	if err != nil || len(p) <= e.Largest {
		return [][]message.Crosspoint{batch}
	}
	half := len(batch) / 2
	return append(m.parts(e, batch[:half]), m.parts(e, batch[half:])...)
}
