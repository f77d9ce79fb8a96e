package check

import (
	"fmt"
	"strconv"

	"bayhand/model/device"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var matrixWide = deviceRule{
	Rule: Rule{
		Code:     "matrix-too-wide",
		Severity: "error",
		Title:    "a matrix has inputs or outputs that its device cannot have",
		Manual: `The description of the device says how many inputs and outputs it has, or how many
it can number. A matrix of another size in the studio's file has crosspoints that no
message can name. Write the size that the device has.`,
		Bad:  Example{Studio: deviceStudio("inputs: 200, outputs: 16", "rawmidi:/dev/snd/midiC1D0", "")},
		Good: Example{Studio: deviceStudio("inputs: 16, outputs: 16", "rawmidi:/dev/snd/midiC1D0", "")},
	},
	find: func(m studio.Matrix, d *device.Description) []violation {
		var all []violation
		for _, side := range []struct {
			name              string
			has, fixed, bound int
		}{
			{"inputs", m.Inputs, d.Inputs, d.MaxInputs},
			{"outputs", m.Outputs, d.Outputs, d.MaxOutputs},
		} {
			legal := ""
			switch {
			case side.fixed > 0 && side.has != side.fixed:
				legal = strconv.Itoa(side.fixed)
			case side.bound > 0 && side.has > side.bound:
				legal = phrase.Put("at most {most}", "most", strconv.Itoa(side.bound))
			}
			if legal != "" {
				all = append(all, violation{
					key:     "matrices." + m.Name + "." + side.name,
					message: fmt.Sprintf("%s has %d %s, and a %s has %s", m.Name, side.has, side.name, d.Name, legal),
					hint:    "write the number that the device has, or its right description",
				})
			}
		}
		return all
	},
}
