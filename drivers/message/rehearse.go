package message

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/device"
)

// Rehearse runs the transcripts of a description: what was sent has to come out
// byte for byte, and what was received has to be read as the transcript says.
// The error joins all that differs.
func Rehearse(d *device.Description) error {
	var failed []error
	for _, t := range d.Transcripts {
		if err := rehearse(d, t); err != nil {
			failed = append(failed, fmt.Errorf("transcript %q: %w", t.Title, err))
		}
	}
	return errors.Join(failed...)
}

func rehearse(d *device.Description, t device.Transcript) error {
	c, err := New(d, t.Inputs, t.Outputs, t.Parameters)
	if err != nil {
		return err
	}
	var failed []error
	for i, turn := range t.Turns {
		play := rehearsal{c}.received
		if turn.Sent {
			play = rehearsal{c}.sent
		}
		if err := play(turn); err != nil {
			failed = append(failed, fmt.Errorf("turn %d: %w", i+1, err))
		}
	}
	return errors.Join(failed...)
}

// rehearsal is a transcript that is played to a codec.
type rehearsal struct{ *Codec }

// sent reads the turn to learn its packet number, which the transcript does not
// say in words, then writes it.
func (c rehearsal) sent(turn device.Turn) error {
	read, err := c.Sent(turn.Role, turn.Bytes)
	if err != nil {
		if written, writeErr := c.Send(turn.Role, Says{Crosspoints: c.leads(says(turn))}); writeErr == nil {
			return fmt.Errorf("%s was written, %s is in the transcript: %w", c.Show(written), c.Show(turn.Bytes), err)
		}
		return err
	}
	if err := c.agree(turn.Says, read.Crosspoints); err != nil {
		return err
	}
	if err := c.described(turn.Role, read.Preset); err != nil {
		return err
	}
	written, err := c.Send(turn.Role, Says{Crosspoints: c.leads(says(turn)), Packet: read.Packet, Preset: read.Preset, Label: read.Label})
	if err != nil {
		return err
	}
	if !bytes.Equal(written, turn.Bytes) {
		return fmt.Errorf("%s was written, %s is in the transcript", c.Show(written), c.Show(turn.Bytes))
	}
	return nil
}

// described says whether a preset that a transcript recalls is one of the description's.
func (c rehearsal) described(role device.Role, number int) error {
	has := func(p device.Preset) bool { return p.Number == number }
	if role != device.RecallPreset || slices.ContainsFunc(c.description.Presets, has) {
		return nil
	}
	var numbers []string
	for _, p := range c.description.Presets {
		numbers = append(numbers, strconv.Itoa(p.Number))
	}
	return fmt.Errorf("preset %d is in the transcript, and presets: has %s", number, strings.Join(numbers, ", "))
}

func (c rehearsal) received(turn device.Turn) error {
	messages, err := c.Framer().Feed(turn.Bytes)
	if err != nil {
		return err
	}
	if len(messages) != 1 {
		return fmt.Errorf("%s is %d messages, not one", show(turn.Bytes), len(messages))
	}
	read, err := c.anyAnswer(turn, messages[0])
	if err != nil {
		return err
	}
	return c.agree(turn.Says, read.Crosspoints)
}

// anyAnswer reads whichever of the answers of a message it is, which has to be the one
// that the transcript says. The output that was asked for is the one that the
// transcript names.
func (c rehearsal) anyAnswer(turn device.Turn, message []byte) (Says, error) {
	output := 0
	if (turn.Role == device.ReadOutput || turn.Role == device.ReadRow) && len(turn.Says) > 0 {
		output = turn.Says[0][0]
	}
	said, meaning, err := c.Judge(turn.Role, output, message)
	if means := cmp.Or(turn.Means, Answer.String()); err == nil && meaning.String() != means {
		return said, fmt.Errorf("%s is read as its %s, and the transcript has it as its %s; if that is what it means, write < %s %s", c.Show(message), meaning, means, turn.Role, meaning)
	}
	return said, err
}

func says(turn device.Turn) []Crosspoint {
	var crosspoints []Crosspoint
	for _, pair := range turn.Says {
		crosspoints = append(crosspoints, Crosspoint{Output: pair[0], Input: pair[1]})
	}
	return crosspoints
}

// agree compares what is meant with what was read. An output that is off need
// not be named, and the order is no matter.
func (c rehearsal) agree(meant [][2]int, read []Crosspoint) error {
	want := c.widened(says(device.Turn{Says: meant}))
	for _, x := range want {
		on := slices.ContainsFunc(read, func(d Crosspoint) bool { return d.Output == x.Output && d.Input > 0 })
		if x.Input == 0 && !on {
			continue
		}
		if !slices.Contains(read, x) {
			return fmt.Errorf("%s is in the transcript, and the bytes are read as %s", inWords([]Crosspoint{x}), inWords(read))
		}
	}
	for _, x := range read {
		if x.Input > 0 && !slices.Contains(want, x) {
			return fmt.Errorf("the bytes are read as %s, which the transcript does not say", inWords([]Crosspoint{x}))
		}
	}
	return nil
}

// inWords are crosspoints as a transcript names them: out1 in2, out3 off.
func inWords(all []Crosspoint) string {
	var texts []string
	for _, x := range all {
		text := fmt.Sprintf("out%d off", x.Output)
		if x.Input > 0 {
			text = fmt.Sprintf("out%d in%d", x.Output, x.Input)
		}
		texts = append(texts, text)
	}
	if len(texts) == 0 {
		return "nothing of any output"
	}
	return strings.Join(texts, ", ")
}
