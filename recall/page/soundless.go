package page

import (
	"net/http"

	"bayhand/model/studio"
)

// soundlessView says what to write where no gear is the sound device.
type soundlessView struct {
	frame
	// File is the studio's, and Gear one that could be the device.
	File, Gear string
	Links      []soundLink
}

// soundLink is how a sound device is reached.
type soundLink struct{ Link, Device string }

var soundLinks = []soundLink{
	{`"alsa:hw:1,0"`, "card 1, device 0 of the Linux kernel"},
	{`"pulse:,"`, "the sound server of this user, with its usual devices"},
	{"files", "none: the sound is played and recorded by another program"},
	{`"practice:PATCH.yaml"`, "a made-up device, to learn with: the room in which that patch is plugged"},
}

// soundless is the view of a studio without a sound device.
func (h listenHandler) soundless(w http.ResponseWriter, r *http.Request, trouble string, code int) {
	status, _ := h.page.Room.Status(r.Context()) // without it the frame says less
	v := &soundlessView{frame: h.page.frame(status, "listen"), File: "studio.yaml", Gear: "interface", Links: soundLinks}
	v.Heading, v.Trouble = "Listen to the room", trouble
	if h.page.Draft != nil {
		v.File = h.page.Draft.File
	}
	most := 0
	for _, g := range h.page.Studio.Gear {
		if n := channels(g); n > most {
			v.Gear, most = g.Name, n
		}
	}
	write(w, r, code, "soundless.html", v)
}

// channels are how many ports gear has both ways.
func channels(g studio.Gear) int {
	outs := 0
	for _, one := range g.Ports {
		if one.Direction == studio.Output {
			outs++
		}
	}
	return min(outs, len(g.Ports)-outs)
}
