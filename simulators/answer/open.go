package answer

import (
	"bytes"

	"bayhand/model/device"
)

// opening is the device's side of the steps that a link begins with: what the other
// end expects it says, and what the other end sends it waits for.
type opening struct {
	step     int
	received []byte
}

// Greet begins a conversation, and gives what the device says first.
func (d *Device) Greet() [][]byte {
	d.opening = opening{}
	return d.greet()
}

// greet says all that is expected up to the next step that is sent.
func (d *Device) greet() [][]byte {
	var said [][]byte
	for d.opening.step < len(d.description.Opening) {
		step := d.description.Opening[d.opening.step]
		if len(step.Send) > 0 {
			break
		}
		said = append(said, step.Expect)
		d.opening.step++
	}
	return said
}

// opens takes a byte during the opening; false where that is over.
func (d *Device) opens(b byte) (said [][]byte, taken bool) {
	steps := d.description.Opening
	if d.opening.step >= len(steps) {
		return nil, false
	}
	d.opening.received = append(d.opening.received, b)
	w := &writer{device: d}
	want, err := w.fields(nil, steps[d.opening.step].Send)
	switch {
	case err != nil || bytes.HasSuffix(d.opening.received, want):
		d.opening.received = nil
		d.opening.step++
		return d.greet(), true
	case b == want[len(want)-1] && d.opening.step+1 < len(steps):
		// A whole line, and not the one that was due.
		d.opening.received = nil
		if no := steps[d.opening.step+1].Refused; len(no) > 0 {
			return [][]byte{no}, true
		}
	}
	return nil, true
}

// wakes notes the bytes that wake the device; it says whether it is awake.
func (d *Device) wakes(b byte) {
	wake := d.description.Wake
	if len(wake) == 0 {
		return
	}
	d.recent = append(d.recent, b)
	if d.recent = d.recent[max(0, len(d.recent)-len(wake)):]; bytes.Equal(d.recent, wake) {
		d.awake = true
		d.stream.clear()
	}
}

// isAwake says whether it can take a message, and lets it fall asleep.
func (d *Device) isAwake() bool {
	awake := d.awake || len(d.description.Wake) == 0
	d.awake = false
	return awake
}

// prompted is what it says after a message, with the prompt that follows.
func (d *Device) prompted(answers [][]byte) [][]byte {
	prompt := d.description.Frame.Prompt
	if d.description.Frame.Kind != device.Lines || len(prompt) == 0 {
		return answers
	}
	return append(answers, prompt)
}
