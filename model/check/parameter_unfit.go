package check

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/device"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var parameterUnfit = deviceRule{
	Rule: Rule{
		Code:     "parameter-unfit",
		Severity: "error",
		Title:    "a device has a parameter that its description does not have or allow",
		Manual: `Besides description: and link:, the keys of device: are the parameters of the
description, each with the values that it allows. A misspelt one would be left at its
default without a word.`,
		Bad:  Example{Studio: deviceStudio("inputs: 16, outputs: 16", "rawmidi:/dev/snd/midiC1D0", ", chanel: 3")},
		Good: Example{Studio: deviceStudio("inputs: 16, outputs: 16", "rawmidi:/dev/snd/midiC1D0", "")},
	},
	find: func(m studio.Matrix, d *device.Description) []violation {
		var all []violation
		for _, given := range m.Device.Parameters {
			message := unfit(given, d)
			if message == "" {
				continue
			}
			all = append(all, violation{
				key:     "matrices." + m.Name + ".device." + given.Name,
				message: message,
				hint:    parametersOf(d),
			})
		}
		return all
	},
}

func unfit(given studio.Parameter, d *device.Description) string {
	i := slices.IndexFunc(d.Parameters, func(p device.Parameter) bool { return p.Name == given.Name })
	if i < 0 {
		return fmt.Sprintf("a %s has no parameter %s", d.Name, given.Name)
	}
	p := d.Parameters[i]
	if len(p.Choices) > 0 {
		if slices.Contains(p.Choices, given.Value) {
			return ""
		}
		return fmt.Sprintf("%s of a %s is %s, and not %s", p.Name, d.Name, strings.Join(p.Choices, " or "), given.Value)
	}
	n, err := strconv.Atoi(given.Value)
	if err != nil || n < p.From || n > p.To {
		return fmt.Sprintf("%s of a %s is a number from %d to %d, and not %s", p.Name, d.Name, p.From, p.To, given.Value)
	}
	return ""
}

func parametersOf(d *device.Description) string {
	if len(d.Parameters) == 0 {
		return "it has none: take the key out"
	}
	var names []string
	for _, p := range d.Parameters {
		names = append(names, p.Name)
	}
	return phrase.Put("its parameters are {names}", "names", strings.Join(names, ", "))
}
