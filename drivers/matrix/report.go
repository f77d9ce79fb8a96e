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
func (t *conversation) unasked(received []byte) bool {
	if _, err := t.codec.Answer(device.Notice, received); err == nil {
		return true
	}
	says, err := t.codec.Answer(device.Report, received)
	if errors.Is(err, message.ErrOther) {
		t.odd = received
		return false
	}
	report := Report{Err: err}
	if err == nil {
		for _, c := range says.Crosspoints {
			if c.Input == 0 {
				report.Off = append(report.Off, t.studio.Out(c.Output))
				continue
			}
			report.Closed = append(report.Closed, patch.Crosspoint{Output: t.studio.Out(c.Output), Input: t.studio.In(c.Input)})
		}
	}
	t.pass(report)
	return true
}

// pass hands a report on. Only the owner does so, hence there is room once what
// nobody took was taken back.
func (t *conversation) pass(report Report) {
	t.turned()
	select {
	case old := <-t.reports:
		report = t.joined(old, report)
	default:
	}
	t.reports <- report
}

// joined is both reports as one; where they differ the second is right.
func (t *conversation) joined(old, now Report) Report {
	told := func(output name.Point) bool {
		return slices.Contains(now.Off, output) ||
			t.device.Switching == device.ByOutput && slices.ContainsFunc(now.Closed, func(c patch.Crosspoint) bool { return c.Output == output })
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
