package houses_test

import (
	"bytes"
	"fmt"
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/layout"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/simulators/contacts"
	"bayhand/simulators/rooms/houses"
)

// drawn are some houses of each size that is drawn in no time, with the sizes
// between them.
func drawn(each func(label string, h houses.House)) {
	for _, of := range []struct {
		pairs int
		seeds uint64
	}{{16, 6}, {24, 24}, {48, 12}, {100, 4}, {192, 4}, {420, 2}} {
		for seed := range of.seeds {
			each(fmt.Sprintf("%d pairs, seed %d", of.pairs, seed), houses.Draw(houses.Size{Pairs: of.pairs}, seed))
		}
	}
}

// A house can be read without a word against it, its answer gives its session,
// and holds only what is owned and reaches; likewise with one line changed. The
// patch that is in could be in, with no outputs joined.
func TestEverySessionCanBeGiven(t *testing.T) {
	lines := 0
	drawn(func(label string, h houses.House) {
		s, asked, present, answer := h.Read()
		room := heard.NewRoom(s)
		if faults := room.CheckGiven(asked, answer, nil); len(faults) > 0 {
			t.Errorf("%s: the answer does not give the session: %v", label, faults)
		}
		if state := room.Hear(present); state.Contended() || len(state.Loops(asked.Inside, nil)) > 0 {
			t.Errorf("%s: what is in joins outputs, or goes round", label)
		}
		owned(t, label, s, answer)
		owned(t, label, s, present)
		if h.Line == nil {
			return
		}
		lines++
		line, _, problems := text.ReadSession("line.yaml", h.Line, s, nil)
		after, _, more := text.ReadPatch("line-answer.yaml", h.LineAnswer, s)
		if len(problems)+len(more) > 0 {
			t.Fatalf("%s: %v %v", label, problems, more)
		}
		if faults := room.CheckGiven(line, after, nil); len(faults) > 0 {
			t.Errorf("%s: the answer with one line changed does not give it: %v", label, faults)
		}
		if len(line.Wants) != len(asked.Wants) {
			t.Errorf("%s: %d destinations are asked for with one line changed, and %d before", label, len(line.Wants), len(asked.Wants))
		}
		owned(t, label, s, after)
	})
	if lines < 30 {
		t.Errorf("only %d houses have another line", lines)
	}
}

// owned checks that a patch is made of cords and dummies that are owned, each long
// enough, in jacks that are whole and hold one plug.
func owned(t *testing.T, label string, s *studio.Studio, p patch.Patch) {
	t.Helper()
	count := map[string]int{}
	for _, c := range p.Cords {
		count[c.Length.String()]++
		if !layout.Reaches(s, c.A, c.B, c.Length) {
			t.Errorf("%s: the cord %v does not reach", label, c)
		}
	}
	for _, c := range s.Stock.Cords {
		if n := count[c.Length.String()]; n > c.Count {
			t.Errorf("%s: %d cords of %v are used, and %d owned", label, n, c.Length, c.Count)
		}
	}
	if s.Dummies >= 0 && len(p.Dummies) > s.Dummies {
		t.Errorf("%s: %d dummies are used, and %d owned", label, len(p.Dummies), s.Dummies)
	}
	plugs := p.Plugs()
	slices.SortFunc(plugs, name.Point.Compare)
	if len(slices.Compact(slices.Clone(plugs))) != len(plugs) {
		t.Errorf("%s: a jack holds two plugs", label)
	}
	for _, j := range s.Faulty {
		if slices.Contains(plugs, j) {
			t.Errorf("%s: a plug is in %s, which is faulty", label, j)
		}
	}
}

// The springs agree with what is asked for: each destination hears its source and
// no other, each silent one nothing.
func TestTheMetalGivesTheSession(t *testing.T) {
	for seed := range uint64(30) {
		size := houses.Home
		if seed%5 == 4 {
			size = houses.Small
		}
		s, asked, _, answer := houses.Draw(size, seed).Read()
		panel, err := contacts.Build(s, answer)
		if err != nil {
			t.Fatal(err)
		}
		metal, err := panel.Measure()
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range asked.Wants {
			if got := metal.Hears(w.Destination); !slices.Equal(got, []name.Point{w.Source}) {
				t.Errorf("%d pairs, seed %d: at %s arrives %v; the session asks for %s", size.Pairs, seed, w.Destination, got, w.Source)
			}
		}
		for _, p := range asked.Silent {
			if got := metal.Hears(p); len(got) > 0 {
				t.Errorf("%d pairs, seed %d: at %s arrives %v; the session asks for silence", size.Pairs, seed, p, got)
			}
		}
		if len(metal.Fights()) > 0 || metal.Howls(asked.Inside) {
			t.Errorf("%d pairs, seed %d: outputs fight, or a signal goes round", size.Pairs, seed)
		}
	}
}

// The same size and seed are the same house.
func TestASeedIsAHouse(t *testing.T) {
	for _, size := range []houses.Size{houses.Home, houses.Small, houses.Project} {
		a, b := houses.Draw(size, 7), houses.Draw(size, 7)
		if !bytes.Equal(a.Studio, b.Studio) || !bytes.Equal(a.Session, b.Session) || !bytes.Equal(a.Present, b.Present) ||
			!bytes.Equal(a.Answer, b.Answer) || !bytes.Equal(a.Line, b.Line) {
			t.Errorf("two houses of %d pairs with one seed", size.Pairs)
		}
		if c := houses.Draw(size, 8); bytes.Equal(a.Studio, c.Studio) {
			t.Errorf("one house of %d pairs with two seeds", size.Pairs)
		}
	}
}
