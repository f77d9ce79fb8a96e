package check

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/text"
)

// The words of a name and of a label say what gear is, whatever stands between them; what has
// outputs, or a role, is not asked.
func TestRolesUnsaid(t *testing.T) {
	for gear, want := range map[string]string{
		"monitors: {inputs: {in1-2: pro-line}}":                                     "loudspeaker",
		"subwoofers: {inputs: {in1: pro-line}}":                                     "loudspeaker",
		"phones-2: {inputs: {in1-2: pro-line}}":                                     "headphone",
		"far-speakers: {inputs: {in1-2: pro-line}}":                                 "loudspeaker",
		"nest: {label: 'NEARFIELD, left', inputs: {in1: pro-line}}":                 "loudspeaker",
		"cue: {label: Headphones of the drummer, inputs: {in1-2: pro-line}}":        "headphone",
		"phones: {label: beside the monitors, inputs: {in1-2: pro-line}}":           "headphone", // the name counts first
		"deck: {inputs: {in1-2: pro-line}}":                                         "",
		"megaphones: {inputs: {in1-2: pro-line}}":                                   "", // no whole word of it
		"monitors: {role: headphone, inputs: {in1-2: pro-line}}":                    "",
		"monitor-control: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}}": "",
		"monitor-amp: {inserts: {ins1: pro-line}}":                                  "", // a send is an output
		"speaker-feed: {outputs: {out1-2: pro-line}}":                               "",
	} {
		s, places, problems := text.ReadStudio("studio.yaml", []byte("studio: S\ngear:\n  "+gear+"\n"))
		if problems.Errors() {
			t.Fatal(problems)
		}
		var said []string
		for _, f := range Studio(heard.NewRoom(s), places) {
			if f.Code == roleUnsaid.Code {
				said = append(said, f.Message+" | "+f.Hint)
			}
		}
		switch {
		case want == "" && len(said) > 0:
			t.Errorf("%s: %q", gear, said)
		case want != "" && (len(said) != 1 || !strings.Contains(said[0], " is a "+want+" by its name") || !strings.Contains(said[0], "write role: "+want+",")):
			t.Errorf("%s: %q, want a %s", gear, said, want)
		}
	}
}
