package message

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/device"
)

// longestLabel is how long a name of the studio is that a message without a width has to
// have room for.
const longestLabel = 64

// fits writes each message with all that the driver may put into it: every output, every
// input, off, the highest packet number, each preset that is described, a full batch and a
// long label. So what the driver would refuse to send in the middle of a recall is refused
// at the start. It takes time linear in inputs, outputs and presets, for each message.
func (c checker) fits() error {
	for _, e := range c.description.Exchanges {
		if len(e.Send) == 0 {
			continue
		}
		for _, says := range c.everything(e) {
			if _, err := c.Send(e.Role, says); err != nil {
				return err
			}
		}
	}
	return c.goesOff()
}

// goesOff sees to it that an output can be told to listen to nothing: by a message off,
// else by one that sets it to input 0.
func (c checker) goesOff() error {
	_, off := c.description.Exchange(device.Off)
	if c.description.Switching != device.ByOutput || off {
		return nil
	}
	for _, output := range []int{1, c.outputs} {
		x := c.example(Crosspoint{Output: output, Input: 1})
		x.Input = 0
		if _, err := c.Send(device.Set, Says{Crosspoints: []Crosspoint{x}, Packet: MaxPacket}); err != nil {
			return fmt.Errorf("no output can be switched off: %w; describe a message off, or say with off: at the input what stands there for none", err)
		}
	}
	return nil
}

// everything is what the driver may say with a message: each output, input and number
// once, not each with each.
func (c checker) everything(e device.Exchange) []Says {
	var all []Says
	for _, x := range c.crosspoints(e.Role) {
		all = append(all, Says{Crosspoints: []Crosspoint{x}})
	}
	last := &all[len(all)-1]
	last.Packet, last.Label = MaxPacket, strings.Repeat("~", longestLabel)
	if batch := c.batch(e); len(batch) > 1 {
		all = append(all, Says{Crosspoints: batch})
	}
	if e.Role != device.RecallPreset {
		return all
	}
	all = all[:0]
	for _, preset := range c.description.Presets {
		all = append(all, Says{Preset: preset.Number, Packet: MaxPacket})
	}
	return all
}

// crosspoints are those that a message of a role may be about.
func (c checker) crosspoints(role device.Role) []Crosspoint {
	var all []Crosspoint
	off := role == device.Off || role == device.ReadOutput || role == device.ReadRow || role == device.LabelOutput
	for output := 1; output <= c.outputs; output++ {
		all = append(all, c.example(Crosspoint{output, 1}))
	}
	for input := 1; input <= c.inputs; input++ {
		all = append(all, c.example(Crosspoint{1, input}))
	}
	all = append(all, c.example(Crosspoint{c.outputs, c.inputs}))
	if off {
		for i := range all {
			all[i].Input = 0
		}
	}
	return slices.Compact(all)
}

// batch is as many crosspoints as one message may carry, of different outputs.
func (c checker) batch(e device.Exchange) []Crosspoint {
	var all []Crosspoint
	for output := 1; output <= c.outputs && len(all) < e.Batch; output++ {
		x := c.example(Crosspoint{output, 1 + (output-1)%c.inputs})
		if e.Role == device.Off {
			x.Input = 0
		}
		if len(all) == 0 || all[len(all)-1].Output != x.Output {
			all = append(all, x)
		}
	}
	return all
}

// checkPresets sees to it that the presets of the description and its message for them
// belong together.
func (c checker) checkPresets() error {
	_, recalls := c.description.Exchange(device.RecallPreset)
	switch {
	case recalls && len(c.description.Presets) == 0:
		return fmt.Errorf("its message preset is never sent: presets: does not say what any of them holds; write presets: {3: {out1: in5}}, or leave the message out")
	case !recalls && len(c.description.Presets) > 0:
		return fmt.Errorf("its presets are recalled by a message preset, and there is none")
	}
	return nil
}
