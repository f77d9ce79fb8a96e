package matrix

import (
	"context"
	"fmt"
	"slices"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// mostErrors is how many errors a device may hold; a queue that does not empty
// is none.
const mostErrors = 100

// changeMessage is one message that changes crosspoints.
type changeMessage struct {
	role        device.Role
	crosspoints []message.Crosspoint
}

// changes are the messages that open, then close. Nothing is sent before all
// of it was found possible.
func (m *Matrix) changes(open, close []patch.Crosspoint) ([]changeMessage, error) {
	opens, err := m.numbers(open)
	if err != nil {
		return nil, err
	}
	closes, err := m.numbers(close)
	if err != nil {
		return nil, err
	}
	for _, c := range opens {
		if slices.Contains(closes, c) {
			return nil, fmt.Errorf("output %d input %d is to be opened and closed at once", c.Output, c.Input)
		}
	}
	if m.device.Switching == device.ByCrosspoint {
		return append(m.batches(device.Open, opens), m.batches(device.Close, closes)...), nil
	}
	return m.byOutput(opens, closes)
}

// byOutput turns crosspoints into what outputs listen to.
func (m *Matrix) byOutput(opens, closes []message.Crosspoint) ([]changeMessage, error) {
	for i := 1; i < len(closes); i++ {
		if closes[i].Output == closes[i-1].Output {
			return nil, fmt.Errorf("output %d cannot listen to inputs %d and %d at once", closes[i].Output, closes[i-1].Input, closes[i].Input)
		}
	}
	var off []message.Crosspoint
	for _, c := range opens {
		moves := slices.ContainsFunc(closes, func(d message.Crosspoint) bool { return d.Output == c.Output })
		// Amplifiers pass from one input to the next by themselves. Contacts
		// would join the two for a moment, so those let go first.
		if !moves || m.studio.Kind == studio.Contacts {
			off = append(off, message.Crosspoint{Output: c.Output})
		}
	}
	off = slices.Compact(off)
	role := device.Off
	if _, ok := m.device.Exchange(device.Off); !ok {
		role = device.Set // to input 0
	}
	return append(m.batches(role, off), m.batches(device.Set, closes)...), nil
}

func (m *Matrix) batches(role device.Role, crosspoints []message.Crosspoint) []changeMessage {
	e, _ := m.device.Exchange(role)
	var messages []changeMessage
	for batch := range slices.Chunk(crosspoints, max(1, e.Batch)) {
		messages = append(messages, changeMessage{role, batch})
	}
	return messages
}

// numbers are the crosspoints in the device's numbers, sorted, each once.
func (m *Matrix) numbers(points []patch.Crosspoint) ([]message.Crosspoint, error) {
	var numbers []message.Crosspoint
	for _, p := range points {
		if err := m.has(p); err != nil {
			return nil, err
		}
		numbers = append(numbers, message.Crosspoint{Output: p.Output.Number, Input: p.Input.Number})
	}
	slices.SortFunc(numbers, message.Crosspoint.Compare)
	return slices.Compact(numbers), nil
}

// has says whether the matrix has the crosspoint.
func (m *Matrix) has(p patch.Crosspoint) error {
	if n := p.Output.Number; n < 1 || n > m.studio.Outputs || p.Output != m.studio.Out(n) {
		return fmt.Errorf("%s is no output of %s, which has out1-%d", p.Output, m.studio.Name, m.studio.Outputs)
	}
	if n := p.Input.Number; n < 1 || n > m.studio.Inputs || p.Input != m.studio.In(n) {
		return fmt.Errorf("%s is no input of %s, which has in1-%d", p.Input, m.studio.Name, m.studio.Inputs)
	}
	if slices.Contains(m.studio.Missing, studio.Absent{Output: p.Output, Input: p.Input}) {
		return fmt.Errorf("%s has no crosspoint of %s and %s", m.studio.Name, p.Output, p.Input)
	}
	return nil
}

// points are what a device answered as crosspoints of the studio. One that the
// matrix is said not to have is an error: somebody is wrong about the matrix.
func (m *Matrix) points(numbers []message.Crosspoint) ([]patch.Crosspoint, error) {
	var points []patch.Crosspoint
	for _, c := range numbers {
		if c.Input == 0 {
			continue
		}
		p := patch.Crosspoint{Output: m.studio.Out(c.Output), Input: m.studio.In(c.Input)}
		if err := m.has(p); err != nil {
			return nil, fmt.Errorf("%w: the device says that %s listens to %s, but %w", message.ErrValue, p.Output, p.Input, err)
		}
		points = append(points, p)
	}
	slices.SortFunc(points, patch.Crosspoint.Compare)
	return slices.Compact(points), nil
}

// change sends the messages, one after the other, and stops at the first that
// fails: what is to be opened first must be open.
func (m *Matrix) change(ctx context.Context, messages []changeMessage) error {
	// Errors from before are not about what we are going to send.
	if _, err := m.emptyErrors(ctx); err != nil {
		return err
	}
	for _, c := range messages {
		if err := m.changeOnce(ctx, c); err != nil {
			return fmt.Errorf("%s %s: %w", c.role, describe(c.crosspoints), err)
		}
	}
	return nil
}

func (m *Matrix) changeOnce(ctx context.Context, c changeMessage) error {
	if _, err := m.ask(ctx, c.role, c.crosspoints); err != nil {
		return err
	}
	if err := m.pause(ctx, milliseconds(m.device.Pacing.Settle)); err != nil {
		return err
	}
	if m.marks() {
		if _, err := m.ask(ctx, device.Settle, nil); err != nil {
			return err
		}
	}
	refusal, err := m.emptyErrors(ctx)
	switch {
	case refusal == nil:
		return err
	case err == nil:
		return refusal
	}
	return fmt.Errorf("%w, then %w", refusal, err)
}

// emptyErrors asks for errors until there are none. The refusal, ErrRefused,
// is all of those that were there.
func (m *Matrix) emptyErrors(ctx context.Context) (refusal, err error) {
	if _, ok := m.device.Exchange(device.Errors); !ok {
		return nil, nil
	}
	for range mostErrors {
		says, err := m.ask(ctx, device.Errors, nil)
		switch {
		case err != nil:
			return refusal, err
		case says.Code == 0:
			return refusal, nil
		case refusal == nil:
			refusal = refused(says)
		default:
			refusal = fmt.Errorf("%w; %d, %s", refusal, says.Code, says.Text)
		}
	}
	return refusal, fmt.Errorf("%w: its errors never end", ErrNoAnswer)
}

// describe names the crosspoints of a message, the first ones of many.
func describe(crosspoints []message.Crosspoint) string {
	const most = 4
	text := ""
	for i, c := range crosspoints {
		if i == most {
			return text + fmt.Sprintf(" and %d more", len(crosspoints)-most)
		}
		if i > 0 {
			text += ", "
		}
		text += fmt.Sprintf("out%d", c.Output)
		if c.Input > 0 {
			text += fmt.Sprintf(" in%d", c.Input)
		}
	}
	return text
}
