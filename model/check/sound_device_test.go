package check_test

import (
	"strings"
	"testing"

	"bayhand/model/check"
)

// What keeps a room from being listened to is said at the sound device: that there are
// two, that cords reach none of its outputs or inputs, or that no output may play.
func TestSoundDevice(t *testing.T) {
	const room = `studio: Listened to
gear:
  interface: {outputs: {out1-2: pro-line}, inputs: {in1: pro-line}, sound: {link: files}}
  other: {outputs: {out1: pro-line}, inputs: {in1: pro-line}ALSO}
  lathe: {inputs: {in1: pro-line}, test: no}
bays:
  main: {pairs: 4, modes: isolated}
wiring: [OUT, IN, other/out1 -> main/t3, main/b3 -> other/in1MORE]
`
	for _, c := range []struct{ what, also, out, in, more, said string }{
		{"all is well", "", "interface/out1-2 -> main/t1-2", "main/b1 -> interface/in1", "", ""},
		{"two devices", ", sound: {link: files}", "interface/out1-2 -> main/t1-2", "main/b1 -> interface/in1", "", "both sound devices"},
		{"outputs that no cord reaches", "", "interface/out1 -> lathe/in1", "main/b1 -> interface/in1", "", "no output of interface is wired to a jack"},
		{"inputs that no cord reaches", "", "interface/out1-2 -> main/t1-2", "other/out1 -> interface/in1", "", "no input of interface is wired to a jack"},
		{"all could come to a lathe", "", "interface/out1-2 -> main/t1-2", "main/b1 -> interface/in1", ", main/b4 -> lathe/in1", "no output of interface may play test sound"},
	} {
		src := strings.NewReplacer("ALSO", c.also, "OUT", c.out, "IN", c.in, "MORE", c.more).Replace(room)
		var said []string
		for _, f := range read(t, check.Example{Studio: src}) {
			if f.Code == "sound-device" {
				said = append(said, f.Message)
			}
		}
		if all := strings.Join(said, "; "); (all == "") != (c.said == "") || !strings.Contains(all, c.said) {
			t.Errorf("%s: %q", c.what, all)
		}
	}
}
