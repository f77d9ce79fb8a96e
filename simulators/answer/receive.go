package answer

import (
	"bytes"
	"errors"
	"slices"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

// Receive takes bytes as they come and gives the answers to the messages that
// they end. How the bytes are cut makes no difference.
func (d *Device) Receive(p []byte) [][]byte {
	var answers [][]byte
	for _, b := range p {
		if said, opening := d.opens(b); opening {
			answers = append(answers, said...)
			continue
		}
		message := d.stream.add(b)
		d.wakes(b)
		if message == nil || !d.isAwake() {
			continue
		}
		d.messages++
		r, ok := d.understand(message)
		if !ok {
			answers = d.prompted(answers)
			continue
		}
		answers = d.prompted(append(answers, d.obey(r)...))
	}
	return answers
}

// maxPending bounds how many MIDI messages one exchange can be.
const maxPending = 16

// understand finds the exchange that a message is. An exchange over MIDI may be
// several messages, such as a bank select and a program change: what could be
// the beginning of one is kept until the next message tells.
func (d *Device) understand(message []byte) (request, bool) {
	d.pending = append(d.pending, message)
	for len(d.pending) > 0 {
		r, fits, short := d.fit(bytes.Join(d.pending, nil))
		if fits {
			d.pending = nil
			return r, true
		}
		if short && len(d.pending) < maxPending && d.description.Frame.Kind == device.MIDIMessages {
			return request{}, false
		}
		d.pending = d.pending[1:]
	}
	d.pending = nil
	d.record(notUnderstood)
	return request{}, false
}

// fit tries every exchange on a message, and the message without its end, for
// descriptions that leave it out. short says that it may be a beginning.
func (d *Device) fit(message []byte) (r request, fits, short bool) {
	outputs, inputs := d.matrix.Size()
	tries := [][]byte{message}
	if d.description.Frame.Kind == device.Lines {
		tries = append(tries, bytes.TrimSuffix(message, d.description.Frame.End))
	}
	for _, e := range d.description.Exchanges {
		if len(e.Send) == 0 {
			continue
		}
		for _, try := range tries {
			m := &matcher{settings: d.settings, outputs: outputs, inputs: inputs, frame: d.description.Frame, gang: d.description.Gangs.Of, message: try}
			if m.whole(e.Send) {
				r := gather(e, m.list)
				if outputs == 1 {
					r.nameOnly()
				}
				return r, true, false
			}
			short = short || m.short
		}
	}
	return request{}, false, short
}

// nameOnly names the one output that a matrix has where a change leaves it out.
func (r *request) nameOnly() {
	if !r.changing() {
		return
	}
	if len(r.changes) == 0 {
		r.changes = []matrix.Crosspoint{{}}
	}
	for i := range r.changes {
		if r.changes[i].Output == 0 {
			r.changes[i].Output = 1
		}
	}
}

// obey does what a request asks and gives what the device says to it: nothing,
// the answer, or word that the answer will take long and then the answer.
func (d *Device) obey(r request) [][]byte {
	says := reply{changes: r.changes, numbers: r.numbers}
	if r.changing() && d.matrix.Busy() {
		return d.say(nil, r.exchange.Busy, says)
	}
	said := [][]byte(nil)
	if len(r.exchange.Wait) > 0 && d.matrix.Waits() {
		said = d.say(nil, r.exchange.Wait, says)
	}
	fields := r.exchange.Answer
	err := d.change(r)
	if err == nil {
		err = d.asked(r)
	}
	if err != nil {
		t := troubleOf(err)
		d.record(t)
		says, fields = says.with(t), r.exchange.Refusal
	}
	switch r.exchange.Role {
	case device.Read:
		says.changes = d.matrix.State()
	case device.ReadOutput:
		for i, c := range says.changes {
			says.changes[i].Input = d.matrix.Listens(c.Output)
		}
	case device.Errors:
		says = says.with(d.nextTrouble())
	case device.Identify, device.Close, device.Open, device.Set, device.Off, device.Settle, device.Report,
		device.ReadRow, device.Cancel, device.Mute, device.Unmute, device.Notice, device.RecallPreset, device.LabelOutput, device.LabelInput, device.RoleUnknown:
	}
	if err == nil && len(r.exchange.End) > 0 {
		return d.say(d.sayLines(said, r, says), r.exchange.End, says)
	}
	return d.say(said, fields, says)
}

// sayLines says an answer that comes in several messages before its end: one for each
// output, or each closed crosspoint, unless one message runs through them.
func (d *Device) sayLines(said [][]byte, r request, says reply) [][]byte {
	if r.exchange.Role != device.Read || slices.ContainsFunc(r.exchange.Answer, repeats) {
		return d.say(said, r.exchange.Answer, says)
	}
	list := d.matrix.State()
	if d.matrix.Kind() == matrix.Selectors {
		list = d.everyOutput()
	}
	for _, c := range list {
		says.changes = []matrix.Crosspoint{c}
		said = d.say(said, r.exchange.Answer, says)
	}
	return said
}

// say adds a message to what is said; none for a device that has no such
// message.
func (d *Device) say(said [][]byte, fields []device.Field, says reply) [][]byte {
	if len(fields) == 0 {
		return said
	}
	message, err := d.write(fields, says)
	if err != nil {
		d.record(trouble{troubleUnwritten, err.Error()})
		return said
	}
	return append(said, message)
}

// asked says whether what a question is about lies in the matrix.
func (d *Device) asked(r request) error {
	if r.exchange.Role != device.ReadOutput && r.exchange.Role != device.ReadRow {
		return nil
	}
	outputs, _ := d.matrix.Size()
	if len(r.changes) != 1 || r.changes[0].Output < 1 || int(r.changes[0].Output) > outputs {
		return matrix.ErrOutside
	}
	return nil
}

var errTooMany = errors.New("more changes than one message can carry")

// change moves the matrix as a request asks.
func (d *Device) change(r request) error {
	if r.exchange.Batch > 0 && !r.every && len(r.changes) > r.exchange.Batch {
		return errTooMany
	}
	switch r.exchange.Role {
	case device.Close:
		return d.matrix.Close(matrix.Line, r.changes...)
	case device.Open:
		return d.matrix.Open(matrix.Line, r.changes...)
	case device.Set:
		return d.matrix.Set(matrix.Line, r.changes...)
	case device.Off:
		off := slices.Clone(r.changes)
		for i := range off {
			off[i].Input = 0
		}
		return d.matrix.Set(matrix.Line, off...)
	case device.Mute, device.Unmute:
		d.matrix.Mute(r.exchange.Role == device.Mute)
	case device.RecallPreset:
		return d.preset(r.numbers[presetValue])
	case device.LabelOutput, device.LabelInput:
		return d.label(r)
	case device.Identify, device.Read, device.ReadOutput, device.ReadRow, device.Settle, device.Errors, device.Report,
		device.Cancel, device.Notice, device.RoleUnknown:
	}
	return nil
}

// preset lets every output listen to what the preset of that number holds for it.
func (d *Device) preset(number int) error {
	for _, p := range d.description.Presets {
		if p.Number != number {
			continue
		}
		outputs, _ := d.matrix.Size()
		list := make([]matrix.Crosspoint, outputs)
		for i := range list {
			list[i].Output = matrix.Output(i + 1)
		}
		for _, pair := range p.Holds {
			if pair[0] > outputs {
				return matrix.ErrOutside
			}
			list[pair[0]-1].Input = matrix.Input(pair[1])
		}
		return d.matrix.Set(matrix.Line, list...)
	}
	return matrix.ErrOutside
}

// label names an output or an input.
func (d *Device) label(r request) error {
	if len(r.changes) != 1 {
		return matrix.ErrOutside
	}
	at := r.changes[0]
	return d.matrix.Label(at.Output, at.Input, r.label)
}

// changing says whether the request would move something.
func (r request) changing() bool {
	switch r.exchange.Role {
	case device.Close, device.Open, device.Set, device.Off, device.RecallPreset:
		return true
	case device.Identify, device.Read, device.ReadOutput, device.ReadRow, device.Settle, device.Errors, device.Report,
		device.Cancel, device.Mute, device.Unmute, device.Notice, device.LabelOutput, device.LabelInput, device.RoleUnknown:
	}
	return false
}
