package text

import (
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// sound writes how gear is reached as a sound device, channel by channel.
func (w *sessionWriter) sound(s *studio.Sound) {
	if s == nil {
		return
	}
	text := "sound: {link: " + scalarText(s.Link)
	if s.Rate > 0 {
		text += ", rate: " + strconv.Itoa(s.Rate)
	}
	text += ", outputs: {" + channelsText(s.Outputs) + "}, inputs: {" + channelsText(s.Inputs) + "}"
	if s.FullScale != 0 {
		text += ", full-scale: " + exactly(float64(s.FullScale)) + " dBu"
	}
	w.line(2, text+"}")
}

// channelsText are runs of ports with their channels: out1-2: 3-4.
func channelsText(all []studio.SoundChannel) string {
	var runs []string
	for from := 0; from < len(all); {
		ports, to := []name.Point{all[from].Port}, from+1
		for to < len(all) && comesAfter(ports, all[to].Port) && all[to].Channel == all[to-1].Channel+1 {
			ports, to = append(ports, all[to].Port), to+1
		}
		channels := strconv.Itoa(all[from].Channel)
		if to > from+1 {
			channels += "-" + strconv.Itoa(all[to-1].Channel)
		}
		runs = append(runs, portsText(ports)+": "+channels)
		from = to
	}
	return strings.Join(runs, ", ")
}

// sockets writes the connectors that hold several ports, in the order of their circuits.
func (w *sessionWriter) sockets(all []studio.Socket) {
	if len(all) > 0 {
		w.line(2, "sockets:")
	}
	for _, s := range all {
		text := scalarText(s.Name) + ": {plug: " + scalarText(s.Plug)
		if len(s.Ports) > 0 {
			text += ", ports: " + choiceText(s.Ports)
		}
		if s.Pins != "" {
			text += ", pins: " + s.Pins
		}
		w.line(3, text+"}")
	}
}
