package shared_test

import (
	"os"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/shared"
	"bayhand/model/studio"
	"bayhand/model/text"
)

func building(t *testing.T) *studio.Studio {
	t.Helper()
	src, err := os.ReadFile("testdata/studio.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, _, problems := text.ReadStudio("studio.yaml", src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return s
}

func point(t *testing.T, text string) name.Point {
	t.Helper()
	p, err := name.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestWhatIsShared(t *testing.T) {
	l := shared.Of(building(t))
	for p, want := range map[string]string{
		"main/b3": "far/t3 = main/b3", "far/t3": "far/t3 = main/b3", // a tie between rooms
		"core/t5": "tape", "core/b6": "tape", "tape/out1": "tape", // gear in no room
		"core/t8": "core/t8",         // a jack in no room
		"core/t1": "", "core/b1": "", // ties to one room
		"main/t1": "", "far/b1": "", // gear of one room
	} {
		if got := l.Place(point(t, p)); got != want {
			t.Errorf("%s is on %q, want %q", p, got, want)
		}
	}
	if got := l.Rooms("far/t3 = main/b3"); !slices.Equal(got, []string{"live", "mix"}) {
		t.Errorf("the tie leads to %v", got)
	}
}

// Each end of a line to a room is that of one room: there is nothing to agree on.
func TestLinesToARoomAreNotShared(t *testing.T) {
	src, err := os.ReadFile("../text/testdata/ok/lines-to/studio.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, _, problems := text.ReadStudio("studio.yaml", src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	for _, p := range []string{"main/b8", "far/t8", "talk/in", "talk/out"} {
		if got := shared.Of(s).Place(point(t, p)); got != "" {
			t.Errorf("%s is on %q", p, got)
		}
	}
	s.Ties, s.Wires = s.Tied(), nil
	if got := shared.Of(s).Place(point(t, "main/b8")); got != "far/t8 = main/b8" {
		t.Errorf("as a tie without a name it is on %q", got)
	}
}

func TestTakenByPlugs(t *testing.T) {
	l := shared.Of(building(t))
	cord := func(a, b string) patch.Cord { return patch.Cord{A: point(t, a), B: point(t, b)} }
	in := patch.Patch{Cords: []patch.Cord{cord("main/t1", "main/b3"), cord("core/t5", "core/b1"), cord("main/t2", "main/b1")}}
	if got := l.Taken(in); !cmp.Equal(got, []string{"far/t3 = main/b3", "tape"}) {
		t.Errorf("taken are %v", got)
	}
	shut := l.Jacks(func(place string) bool { return place == "tape" })
	var all []string
	for _, p := range shut {
		all = append(all, p.String())
	}
	if !cmp.Equal(all, []string{"core/b6", "core/t5"}) {
		t.Errorf("shut are %v", all)
	}
}

// Ties from one row to another do for each other; gear, and a tie elsewhere, do not.
func TestAlike(t *testing.T) {
	got := shared.Of(building(t)).Alike()
	want := []string{"far/t3 = main/b3", "far/t4 = main/b4"}
	if !slices.ContainsFunc(got, func(g []string) bool { return slices.Equal(g, want) }) {
		t.Errorf("alike are %q", got)
	}
	for _, group := range got {
		if slices.Contains(group, "tape") || len(group) < 2 {
			t.Errorf("alike are %q", group)
		}
	}
	s := building(t)
	i := slices.IndexFunc(s.Bays, func(b studio.Bay) bool { return b.Name == "main" })
	s.Bays[i].Modes = slices.Clone(s.Bays[i].Modes)
	s.Bays[i].Modes[2] = studio.FullNormal
	for _, group := range shared.Of(s).Alike() {
		if slices.Contains(group, want[0]) {
			t.Errorf("with a normal at one, alike are %q", group)
		}
	}
}

func TestOneRoomSharesNothing(t *testing.T) {
	s := building(t)
	s.Rooms = nil
	if l := shared.Of(s); len(l.Jacks(func(string) bool { return true })) > 0 {
		t.Error("a studio of one room shares lines")
	}
}
