package check

import "fmt"

var controlHeard = rule{
	Rule: Rule{
		Code:     "control-heard",
		Severity: "warning",
		Title:    "programs of gear go out where the control port listens",
		Manual: `Much gear passes on what it hears. When its programs go out on a channel that the
control port hears as well, what comes back could ask for another session. Give
control: a channel: that nothing else on its port has. What comes back within two
seconds just as it was sent is not taken for a request anyway.`,
		Bad:  Example{Studio: controlStudio + "control: {port: usb-midi}\n"},
		Good: Example{Studio: controlStudio + "control: {port: usb-midi, channel: 16}\n"},
	},
	studio: controlsHeard,
}

const controlStudio = `studio: A plate and a pedal
gear:
  plate: {inputs: {in1: home-line}, outputs: {out1: home-line}, passes: [in1 -> out1], midi: {port: usb-midi, channel: 3}}
`

func controlsHeard(v *view) []violation {
	control := v.studio.Control
	if control == nil {
		return nil
	}
	var all []violation
	for _, g := range v.studio.Gear {
		if g.MIDI == nil || g.MIDI.Port != control.Port || control.Channel != 0 && control.Channel != g.MIDI.Channel {
			continue
		}
		all = append(all, violation{
			key:     "control",
			message: fmt.Sprintf("the control port %s hears channel %d, on which the programs of %s go out", control.Port, g.MIDI.Channel, g.Name),
			hint:    "give control: a channel: that no gear has",
		})
	}
	return all
}
