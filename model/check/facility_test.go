package check_test

import (
	"fmt"
	"slices"
	"testing"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/simulators/rooms"
)

// facilities are the sizes, each twice the one before, up to a house of 40 bays.
var facilities = []int{5, 10, 20, 40}

func facilityOf(t testing.TB, bays int) (*studio.Studio, text.Places) {
	t.Helper()
	s, places, problems := text.ReadStudio("studio.yaml", []byte(rooms.Facility(bays)))
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	return s, places
}

// The largest has what it is said to have, and is heard.
func TestTheFacility(t *testing.T) {
	s, places := facilityOf(t, 40)
	ports := 0
	for _, g := range s.Gear {
		ports += len(g.Ports)
	}
	if len(s.Bays) != 40 || s.Bays[39].Pairs() != 48 || len(s.Matrices) != 16 || s.Matrices[15].Inputs != 64 || ports != 6000 {
		t.Errorf("%d bays, %d matrices, %d ports", len(s.Bays), len(s.Matrices), ports)
	}
	room := heard.NewRoom(s)
	state := room.Hear(s.Rest)
	at := name.At("rack40a", "in", 16)
	if got := state.Hears(at); !slices.Equal(got, []name.Point{name.At("rack39c", "out", 16)}) {
		t.Errorf("%s hears %v", at, got)
	}
	if got := len(state.Origins(at, nil)); got != 3*39 {
		t.Errorf("%d sources come before %s, not one for each rack before it", got, at)
	}
	for _, f := range check.Studio(room, places) {
		if f.Severity == text.Error {
			t.Errorf("%v", f)
		}
	}
}

// BenchmarkFacility reads and checks a house, hears it from nothing, and changes
// one cord in it, at four sizes; growth is the time against that at half the size.
func BenchmarkFacility(b *testing.B) {
	for _, work := range []struct {
		title   string
		prepare func(b *testing.B, bays int) func()
	}{
		{"read", reading}, {"check", checking}, {"hear", hearing}, {"change", changing},
	} {
		before := 0.0
		for _, bays := range facilities {
			now := 0.0
			b.Run(fmt.Sprintf("%s/bays=%d", work.title, bays), func(b *testing.B) {
				do := work.prepare(b, bays)
				b.ReportAllocs()
				for b.Loop() {
					do()
				}
				now = float64(b.Elapsed()) / float64(b.N)
				if before > 0 {
					b.ReportMetric(now/before, "growth")
				}
			})
			before = now
		}
	}
}

func reading(_ *testing.B, bays int) func() {
	src := []byte(rooms.Facility(bays))
	return func() { text.ReadStudio("studio.yaml", src) }
}

func checking(b *testing.B, bays int) func() {
	s, places := facilityOf(b, bays)
	room := heard.NewRoom(s)
	return func() { check.Studio(room, places) }
}

func hearing(b *testing.B, bays int) func() {
	s, _ := facilityOf(b, bays)
	return func() { heard.NewRoom(s).Hear(s.Rest) }
}

// changing plugs a cord and pulls it.
func changing(b *testing.B, bays int) func() {
	s, _ := facilityOf(b, bays)
	live := heard.NewRoom(s).Live(s.Rest)
	cord := patch.Patch{Cords: []patch.Cord{{A: s.Bays[0].TopJack(1), B: s.Bays[bays-1].BottomJack(48)}}}
	return func() {
		live.Change(patch.Patch{}, cord)
		live.Change(cord, patch.Patch{})
	}
}
