package keep

import (
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// What must go is said by what it is: a plug is unplugged and reported, a crosspoint opened,
// and of several all are named.
func TestHarmSaysWhatMustGo(t *testing.T) {
	cord := patch.Cord{A: name.At("main", "t", 1), B: name.At("main", "b", 2)}
	lead := patch.Lead{Port: name.At("synth", "out", 1), Jack: name.At("main", "b", 3)}
	cross := patch.Crosspoint{Output: name.At("grid", "out", 1), Input: name.At("grid", "in", 2)}
	other := patch.Crosspoint{Output: name.At("grid", "out", 2), Input: name.At("grid", "in", 2)}
	places := []name.Point{name.At("desk", "out", 1), name.At("desk", "out", 2)}
	for _, one := range []struct {
		by           patch.Patch
		joined, loop string
	}{
		{patch.Patch{}, "Unplug one of them, and report it.", "Turn down, and open the loop."},
		{patch.Patch{Cords: []patch.Cord{cord}}, "Unplug main/t1 - main/b2, and report it.", "Turn down, unplug main/t1 - main/b2, and report it."},
		{patch.Patch{Leads: []patch.Lead{lead}}, "Unplug synth/out1 - main/b3, and report it.", "Turn down, unplug synth/out1 - main/b3, and report it."},
		{patch.Patch{Crosspoints: []patch.Crosspoint{cross}}, "Open grid/in2 -> grid/out1.", "Turn down, and open grid/in2 -> grid/out1."},
		{patch.Patch{Crosspoints: []patch.Crosspoint{cross, other}}, "Open grid/in2 -> grid/out1, grid/in2 -> grid/out2.", "Turn down, and open grid/in2 -> grid/out1, grid/in2 -> grid/out2."},
		{patch.Patch{Cords: []patch.Cord{cord}, Crosspoints: []patch.Crosspoint{cross}}, "All of this must go, and be reported: main/t1 - main/b2, grid/in2 -> grid/out1.", "Turn down. All of this must go, and be reported: main/t1 - main/b2, grid/in2 -> grid/out1."},
		{patch.Patch{Cords: []patch.Cord{cord}, Leads: []patch.Lead{lead}}, "All of this must go, and be reported: main/t1 - main/b2, synth/out1 - main/b3.", "Turn down. All of this must go, and be reported: main/t1 - main/b2, synth/out1 - main/b3."},
	} {
		if got, want := joining.text(places, one.by), "Outputs are joined, which can damage them: desk/out1, desk/out2. "+one.joined; got != want {
			t.Errorf("outputs:\n%s\nwant\n%s", got, want)
		}
		if got, want := looping.text(places, one.by), "Feedback: a signal can go round through desk/out1, desk/out2. "+one.loop; got != want {
			t.Errorf("feedback:\n%s\nwant\n%s", got, want)
		}
	}
}
