package main

import (
	"fmt"
	"strings"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/recall/words"
)

// describedDevice is a description as JSON has it.
type describedDevice struct {
	Device    string             `json:"device"`
	Label     string             `json:"label"`
	Inputs    int                `json:"inputs"`
	Outputs   int                `json:"outputs"`
	ReadsBack bool               `json:"reads-back"`
	Messages  []describedMessage `json:"messages"`
}

type describedMessage struct {
	Message string            `json:"message"`
	About   string            `json:"about"`
	Bytes   string            `json:"bytes"`
	Answers []describedAnswer `json:"answers"`
}

type describedAnswer struct {
	Means string `json:"means"`
	Form  string `json:"form"`
}

func shownDevice(d *device.Description, codec *message.Codec, examples []message.Example) describedDevice {
	inputs, outputs := codec.Size()
	shown := describedDevice{Device: d.Name, Label: d.Label, Inputs: inputs, Outputs: outputs, ReadsBack: codec.ReadsBack() != device.RoleUnknown, Messages: []describedMessage{}}
	for _, x := range examples {
		m := describedMessage{Message: x.Role.String(), About: aboutExample(x), Bytes: fmt.Sprintf("% X", x.Bytes), Answers: []describedAnswer{}}
		for _, f := range x.Answers {
			m.Answers = append(m.Answers, describedAnswer(f))
		}
		shown.Messages = append(shown.Messages, m)
	}
	return shown
}

// showDevice writes a description out for a person with the device's manual.
func showDevice(out *output, d *device.Description, codec *message.Codec, examples []message.Example) {
	inputs, outputs := codec.Size()
	out.lines("", "  ", fmt.Sprintf("%s: %s, here of %d inputs and %d outputs", d.Name, d.Label, inputs, outputs))
	if gangs := gangWords(d, outputs); gangs != "" {
		out.lines("  ", "    ", words.Put("It moves together: {gangs}.", "gangs", gangs))
	}
	for _, sentence := range d.Prepare {
		out.lines("  first: ", "    ", sentence)
	}
	for _, sentence := range d.Faults {
		out.lines("  known fault: ", "    ", sentence)
	}
	for _, x := range examples {
		out.printf("%s\n", strings.TrimSpace(x.Role.String()+" "+aboutExample(x)))
		if len(x.Bytes) > 0 {
			out.printf("  > %s\n", codec.Show(x.Bytes))
		}
		for _, f := range x.Answers {
			out.printf("  < %s\n      %s\n", f.Form, f.Means)
		}
	}
	if codec.ReadsBack() == device.RoleUnknown {
		out.lines("", "  ", "It has no read-back: what was sent is never confirmed.")
	}
	turns := 0
	for _, t := range d.Transcripts {
		turns += len(t.Turns)
	}
	if turns == 0 {
		out.lines("", "  ", "It has no transcripts. Write down a conversation from the device's manual, so that a mistake here is found.")
		return
	}
	out.printf("%d messages in its transcripts agree\n", turns)
}

// aboutExample names the crosspoints of an example.
func aboutExample(x message.Example) string {
	var list []string
	for _, c := range x.About {
		one := fmt.Sprintf("out%d", c.Output)
		if c.Input > 0 {
			one += fmt.Sprintf(" in%d", c.Input)
		}
		list = append(list, one)
	}
	return strings.Join(list, ", ")
}

// gangWords are the outputs that a device of so many moves together; empty for none.
func gangWords(d *device.Description, outputs int) string {
	var gangs []string
	for _, gang := range d.Gangs.All(outputs) {
		var ports []string
		for _, output := range gang {
			ports = append(ports, fmt.Sprintf("out%d", output))
		}
		gangs = append(gangs, strings.Join(ports, " and "))
	}
	const most = 4
	if len(gangs) > most {
		gangs = append(gangs[:most], fmt.Sprintf("%d more in the same way", len(gangs)-most))
	}
	return strings.Join(gangs, "; ")
}
