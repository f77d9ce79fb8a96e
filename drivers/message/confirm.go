package message

import (
	"slices"

	"bayhand/model/device"
)

// Confirms says whether an answer to a change is one to what was sent, as far as it
// names it: one that names another output, input or preset is a late answer, or that
// of a device which does something else. Answers that list many crosspoints say what
// is so, and confirm without being compared.
func (c *Codec) Confirms(role device.Role, sent, said Says) bool {
	e, _ := c.description.Exchange(role)
	switch role {
	case device.RecallPreset:
		return !device.Carries(e.Answer, "preset") || said.Preset == sent.Preset
	case device.Set, device.Off, device.Close, device.Open:
	default:
		return true
	}
	if !device.Carries(e.Answer, "output") || Repeats(e.Answer) {
		return true
	}
	names := device.Carries(e.Answer, "input") && role != device.Off && role != device.Open
	return !slices.ContainsFunc(said.Crosspoints, func(x Crosspoint) bool {
		return !slices.ContainsFunc(c.widened(sent.Crosspoints), func(y Crosspoint) bool {
			return x == y || !names && x.Output == y.Output
		})
	})
}
