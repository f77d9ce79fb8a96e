package keep_test

import (
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// A loudspeaker that was muted before bayhand was off may have been turned up since: until
// somebody has said that all is as it was, no plug moves by that mute.
func TestMuteFromBeforeAStart(t *testing.T) {
	for _, told := range []bool{false, true} {
		onBench(t, func(b *bench) {
			b.planner.speakers = []name.Point{name.At("speakers", "in", 1)}
			b.studio.Wires = []studio.Wire{{From: name.At("synth", "out", 1), To: name.At("speakers", "in", 1)}} // something always plays
			config := b.config()
			config.Asks = true
			b.startWith(config)
			b.recall("tern")
			b.tick("3") // muted
			for range 2 {
				b.end()
				b.startWith(config)
			}
			if told {
				if _, err := asked(b.keeper, keep.Act{Do: keep.StillSo}); err != nil {
					t.Fatal(err)
				}
			}
			s := b.recall("heron")
			mutes := strings.Contains(" "+steps(s.Left), " mute in1")
			if mutes == told || !strings.Contains(steps(s.Left), "unmute in1") {
				t.Errorf("told %t: left %q", told, steps(s.Left))
			}
			if told {
				return
			}
			b.tick(s.Left[0].ID) // muted again, which is known for sure
			s = b.recall("tern")
			if got := " " + steps(s.Left); strings.Contains(got, " mute in1") || len(s.Silenced) != 1 {
				t.Errorf("left %q, silenced %v", got, s.Silenced)
			}
		})
	}
}
