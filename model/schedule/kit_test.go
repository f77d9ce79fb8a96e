package schedule_test

import (
	"slices"
	"testing"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/schedule"

	"github.com/google/go-cmp/cmp"
)

func cords(t *testing.T, ends ...[2]string) (p patch.Patch) {
	t.Helper()
	for _, e := range ends {
		a, err := name.Parse(e[0])
		b, err2 := name.Parse(e[1])
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		p.Cords = append(p.Cords, patch.Cord{A: a, B: b})
	}
	return p
}

// Leads are as long as the places of gear and jacks say, each rank the longest of any
// session; gear without a place has none.
func TestKitHasLengthsOfLeads(t *testing.T) {
	s, _ := read(t, `studio: S
gear:
  near: {outputs: {out1-2: pro-line}, place: {x: 100 cm, y: 0 cm}}
  far: {outputs: {out1: pro-line}, place: {x: 400 cm, y: 0 cm}}
  nowhere: {outputs: {out1: pro-line}}
bays: {main: {pairs: 4, jack: bantam, modes: isolated, at: {x: 0 cm, y: 0 cm}}}
`)
	jack := func(n int) name.Point { return name.At("main", "t", n) }
	lead := func(gear string, out, n int) patch.Lead {
		return patch.Lead{Port: name.At(gear, "out", out), Jack: jack(n)}
	}
	first := patch.Patch{Leads: []patch.Lead{lead("near", 1, 1), lead("near", 2, 2)}}
	second := patch.Patch{Leads: []patch.Lead{lead("far", 1, 1), lead("nowhere", 1, 2)}}
	got := schedule.KitOf(s, []patch.Patch{first, second})
	// 1 m and 4 m with half a metre to spare at each end, in steps of half a metre.
	if want := []measure.Length{5 * measure.Metre, 2 * measure.Metre}; got.Leads != 2 || !slices.Equal(got.LeadLengths, want) {
		t.Errorf("%d leads of %v, want 2 of %v", got.Leads, got.LeadLengths, want)
	}
}

// Two short cords in one session and a long one in another are one of each: the long
// one stands in for a short one.
func TestKitSufficesForEachSession(t *testing.T) {
	s, _ := read(t, `studio: S
bays: {main: {pairs: 24, jack: bantam, modes: isolated}}
cords: {stock: {30 cm: 1, 60 cm: 0}, slack: 10 cm}
`)
	short := cords(t, [2]string{"main/t1", "main/b2"}, [2]string{"main/t3", "main/b3"})
	long := cords(t, [2]string{"main/t1", "main/b24"})
	long.Dummies = []name.Point{name.At("main", "t", 5)}
	short.Cords[1].Poles = 3
	got := schedule.KitOf(s, []patch.Patch{short, long})
	want := schedule.Kit{Dummies: 1, Cords: []schedule.Cords{
		{Plugs: [2]string{"bantam", "bantam"}, Poles: 3, Length: 60 * measure.Centimetre, Count: 1},
		{Plugs: [2]string{"bantam", "bantam"}, Poles: 3, Length: 30 * measure.Centimetre, Count: 1},
	}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	short.Cords[1].Poles = 2
	got = schedule.KitOf(s, []patch.Patch{short, long})
	want.Cords = append(want.Cords[:1:1], schedule.Cords{Plugs: [2]string{"bantam", "bantam"}, Poles: 2, Length: 30 * measure.Centimetre, Count: 1})
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("one of them two-pole: %s", diff)
	}
}
