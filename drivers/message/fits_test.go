package message_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bayhand/drivers/message"
	"bayhand/model/device"
	reader "bayhand/model/text"
)

// worded is a description with words for its inputs, numbered messages, presets, labels
// and a batch whose length has one digit.
const worded = `device: worded
label: Words, numbers of packets and a batch
standard: none; an invented dialect
links: [serial]
size: {inputs: 4, outputs: 8}
switching: by-output
frame: {start: "23", length: {at: 1, base: decimal, width: 1, add: 2}}
messages:
  set: {batch: 2, send: ["#", {number: length, base: decimal, width: 1}, {number: packet, base: decimal, width: 3}, {each: changes, of: [{number: output, base: decimal}, {number: input, words: {0: "-", 1: "A", 2: "B", 3: "C", 4: "D"}}]}]}
  preset: {send: ["#", {number: length, base: decimal, width: 1}, "P", {number: preset, base: decimal, width: 3}]}
  label-output: {send: ["#", {number: length, base: decimal, width: 1}, "L", {number: output, base: decimal}, {text: label, width: 6}]}
presets:
  120: {out1: in1}
transcripts:
  - title: a preset
    source: written out by hand
    turns: ['> preset: #4P120']
prepare: [Nothing has to be set.]
`

// goodFiles are the descriptions that ship, that the corpus of the reader has, and that
// the tests of the drivers have; by their files.
func goodFiles(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{"worded.yaml": worded}
	for _, pattern := range []string{
		"../../model/text/testdata/ok/devices/*.yaml", "../descriptions/devices/*.yaml", "../conformance/testdata/*.yaml", "../conformance/testdata/presets/*.yaml",
	} {
		found, err := filepath.Glob(pattern)
		if err != nil || len(found) == 0 {
			t.Fatalf("%s: %v, %v", pattern, found, err)
		}
		for _, file := range found {
			src, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			all[file] = string(src)
		}
	}
	return all
}

func readDevice(t *testing.T, file, src string) *device.Description {
	t.Helper()
	d, _, problems := reader.ReadDevice(file, []byte(src))
	if problems.Errors() {
		t.Fatalf("%s: %v", file, problems)
	}
	return d
}

// sizeOf is a small size that a description can have.
func sizeOf(d *device.Description) (inputs, outputs int) {
	const usual = 8
	fit := func(fixed, most int) int {
		switch {
		case fixed > 0:
			return fixed
		case most > 0:
			return min(usual, most)
		}
		return usual
	}
	return fit(d.Inputs, d.MaxInputs), fit(d.Outputs, d.MaxOutputs)
}

// spoilings change a field of what is sent, or the whole description, such that some of
// what the driver sends has no room in it, or not. They say whether anything changed.
var spoilings = map[string]func(f *device.Field, d *device.Description) bool{
	"a number has one digit": func(f *device.Field, _ *device.Description) bool {
		was := f.Width
		f.Width = min(was, 1)
		return was > 1
	},
	"the last word is gone": func(f *device.Field, _ *device.Description) bool {
		f.Words = f.Words[:max(0, len(f.Words)-1)]
		return len(f.Words) > 0
	},
	"a word in between is gone": func(f *device.Field, _ *device.Description) bool {
		if len(f.Words) < 3 {
			return false
		}
		f.Words = slices.Delete(slices.Clone(f.Words), 1, 2)
		return true
	},
	"off is gone": func(f *device.Field, _ *device.Description) bool {
		was := f.Off
		f.Off = nil
		return was != nil
	},
	"one less": func(f *device.Field, _ *device.Description) bool {
		f.Add--
		return f.Kind == device.Number
	},
	"a preset more": func(_ *device.Field, d *device.Description) bool {
		d.Presets = append(slices.Clone(d.Presets), device.Preset{Number: 1234})
		return len(d.Presets) > 1
	},
	"larger batches": func(f *device.Field, d *device.Description) bool {
		d.Exchanges = slices.Clone(d.Exchanges)
		for i := range d.Exchanges {
			if d.Exchanges[i].Batch > 1 {
				d.Exchanges[i].Batch *= 4
			}
		}
		return f.Kind == device.Each
	},
}

// fieldsOf calls f with each field of what is sent, and of what is inside it.
func fieldsOf(fields []device.Field, f func(*device.Field)) {
	for i := range fields {
		f(&fields[i])
		fieldsOf(fields[i].Of, f)
		for _, choice := range fields[i].Choices {
			fieldsOf(choice, f)
		}
	}
}

// What is taken for a description of a device can be driven: nothing that the driver may
// ever send, of whatever role, is refused by the description later. Descriptions that
// are good are spoilt in every field of what is sent, one by one.
func TestWhatIsTakenCanBeDriven(t *testing.T) {
	refused, taken := map[string]int{}, map[string]int{}
	for file, src := range goodFiles(t) {
		whole := readDevice(t, file, src)
		inputs, outputs := sizeOf(whole)
		if _, err := message.New(whole, inputs, outputs, nil); err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		for kind, spoil := range spoilings {
			for _, e := range whole.Exchanges {
				fieldsOf(e.Send, func(f *device.Field) {
					d, was := *whole, *f
					defer func() { *f = was }()
					if !spoil(f, &d) {
						return
					}
					c, err := message.New(&d, inputs, outputs, nil)
					if err != nil {
						refused[kind]++
						return
					}
					taken[kind]++
					if err := driven(c, &d); err != nil {
						t.Errorf("%s is taken where %s, and then: %v", file, kind, err)
					}
				})
			}
		}
	}
	for kind := range spoilings {
		if refused[kind] == 0 {
			t.Errorf("never refused where %s, and taken %d times", kind, taken[kind])
		}
	}
}

// driven writes all that the driver may send: each crosspoint, off, each packet number,
// preset and label, and batches of each length.
func driven(c *message.Codec, d *device.Description) error {
	inputs, outputs := c.Size()
	for _, e := range d.Exchanges {
		if len(e.Send) == 0 {
			continue
		}
		var all []message.Says
		for output := 1; output <= outputs; output++ {
			for input := 0; input <= inputs; input++ {
				x := message.Crosspoint{Output: output, Input: input}
				if lead, fits := c.Lead(x); fits && lead == x && named(d, e.Role, x) {
					all = append(all, message.Says{Crosspoints: crosspoints{x}, Packet: (output*inputs + input) % (message.MaxPacket + 1), Label: strings.Repeat("a\"b>\n", output)})
				}
			}
		}
		for n := 2; n <= min(e.Batch, outputs); n++ {
			var batch crosspoints
			for output := 1; output <= n; output++ {
				if x := (message.Crosspoint{Output: output, Input: 1}); e.Role == device.Off {
					batch = append(batch, message.Crosspoint{Output: output})
				} else if lead, fits := c.Lead(x); fits && lead == x {
					batch = append(batch, x)
				}
			}
			all = append(all, message.Says{Crosspoints: batch, Packet: message.MaxPacket})
		}
		for _, p := range d.Presets {
			all = append(all, message.Says{Crosspoints: crosspoints{{1, 1}}, Preset: p.Number})
		}
		for _, says := range all {
			if e.Role != device.RecallPreset && says.Preset != 0 || e.Role == device.RecallPreset && says.Preset == 0 && len(d.Presets) > 0 && d.Presets[0].Number != 0 {
				continue
			}
			if _, err := c.Send(e.Role, says); err != nil {
				return fmt.Errorf("%+v: %w", says, err)
			}
		}
	}
	return nil
}

// named says whether the driver ever sends a message of a role about a crosspoint.
func named(d *device.Description, role device.Role, x message.Crosspoint) bool {
	_, off := d.Exchange(device.Off)
	switch role {
	case device.Off, device.ReadOutput, device.ReadRow, device.LabelOutput:
		return x.Input == 0
	case device.Set:
		return x.Input > 0 || !off
	case device.LabelInput:
		return x.Input > 0 && x.Output == 1
	}
	return x.Input > 0
}

// What is refused is said with what has no room.
func TestWhatHasNoRoom(t *testing.T) {
	for _, c := range []struct{ was, is, want string }{
		{`2: "B", `, "", "input 2"},
		{`0: "-", `, "", "no output can be switched off: the message set of worded: input 0"},
		{"packet, base: decimal, width: 3", "packet, base: decimal, width: 2", "packet 127"},
		{"preset, base: decimal, width: 3", "preset, base: decimal, width: 2", "preset 120"},
		{"width: 6}]}", "}]}", "the message label-output of worded: length"},
		{"batch: 2", "batch: 8", "the message set of worded: length"},
		{"presets:\n  120: {out1: in1}\n", "", "its message preset is never sent"},
		{"'> preset: #4P120'", "'> preset: #4P121'", "preset 121 is in the transcript, and presets: has 120"},
	} {
		d := readDevice(t, "worded.yaml", strings.Replace(worded, c.was, c.is, 1))
		_, err := message.New(d, 4, 8, nil)
		if err == nil {
			err = message.Rehearse(d)
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s -> %s: %v, want %q", c.was, c.is, err, c.want)
		}
	}
}
