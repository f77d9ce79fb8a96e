package matrix

import (
	"errors"
	"slices"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// Report is what a device said by itself, when somebody turned it by hand. It
// is a reason to read the device, and no more.
type Report struct {
	// Closed are the crosspoints that it says are closed now, sorted.
	Closed []patch.Crosspoint
	// Off are the outputs that it says listen to nothing, sorted.
	Off []name.Point
	// Err is a report that says what cannot be, message.ErrValue.
	Err error
}

// unasked looks at a message that is no answer, and says whether it was a report or
// a notice. Any other is noted: nobody knows what the device meant by it.
func (m *Matrix) unasked(received []byte) bool {
	if _, err := m.codec.Answer(device.Notice, received); err == nil {
		return true
	}
	says, err := m.codec.Answer(device.Report, received)
	if errors.Is(err, message.ErrOther) {
		m.odd = received
		return false
	}
	report := Report{Err: err}
	if err == nil {
		for _, c := range says.Crosspoints {
			if c.Input == 0 {
				report.Off = append(report.Off, m.studio.Out(c.Output))
				continue
			}
			report.Closed = append(report.Closed, patch.Crosspoint{Output: m.studio.Out(c.Output), Input: m.studio.In(c.Input)})
		}
	}
	m.pass(report)
	return true
}

// pass hands a report on. Only the owner does so, hence there is room once what
// nobody took was taken back.
func (m *Matrix) pass(report Report) {
	m.forget()
	select {
	case old := <-m.reports:
		report = m.joined(old, report)
	default:
	}
	m.reports <- report
}

// joined is both reports as one; where they differ the second is right.
func (m *Matrix) joined(old, now Report) Report {
	told := func(output name.Point) bool {
		return slices.Contains(now.Off, output) ||
			m.device.Switching == device.ByOutput && slices.ContainsFunc(now.Closed, func(c patch.Crosspoint) bool { return c.Output == output })
	}
	for _, c := range old.Closed {
		if !told(c.Output) && !slices.Contains(now.Closed, c) {
			now.Closed = append(now.Closed, c)
		}
	}
	for _, output := range old.Off {
		if !told(output) {
			now.Off = append(now.Off, output)
		}
	}
	slices.SortFunc(now.Closed, patch.Crosspoint.Compare)
	slices.SortFunc(now.Off, name.Point.Compare)
	if now.Err == nil {
		now.Err = old.Err
	}
	return now
}
