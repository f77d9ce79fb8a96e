package check

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/device"
	"bayhand/model/studio"
)

var linkUnfit = deviceRule{
	Rule: Rule{
		Code:     "link-unfit",
		Severity: "error",
		Title:    "a device is said to be connected to a kind of link that it does not have",
		Manual: `The description of a device names the kinds of link that it can be connected to. Over
another it cannot be talked to: MIDI bytes are no lines of text. Write the link that
the cable is really in.`,
		Bad:  Example{Studio: deviceStudio("inputs: 16, outputs: 16", "serial:/dev/ttyUSB0", "")},
		Good: Example{Studio: deviceStudio("inputs: 16, outputs: 16", "rawmidi:/dev/snd/midiC1D0", "")},
	},
	find: func(m studio.Matrix, d *device.Description) []violation {
		kind, _, _ := strings.Cut(m.Device.Link, ":")
		legal := make([]string, len(d.Links))
		for i, l := range d.Links {
			legal[i] = l.String()
		}
		if len(legal) == 0 || slices.Contains(legal, kind) {
			return nil
		}
		return []violation{{
			key:     "matrices." + m.Name + ".device.link",
			message: fmt.Sprintf("%s is connected to %s, and a %s takes %s", m.Name, kind, d.Name, strings.Join(legal, ", ")),
			hint:    "write the link that it is connected to; bayhand links lists those of this machine",
		}}
	},
}
