package matrix

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func made(t interface{ Fatal(...any) }, kind Kind, outputs, inputs int, f Faults) *Matrix {
	m, err := New(kind, outputs, inputs, f)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestNewRefusesSizesThatCantBe(t *testing.T) {
	for _, c := range []struct {
		kind            Kind
		outputs, inputs int
		says            string
	}{
		{KindUnknown, 2, 2, "contacts and selectors"},
		{Contacts, 0, 2, "1 to 1024"},
		{Contacts, 2, -1, "1 to 1024"},
		{Selectors, MaxSize + 1, 2, "1 to 1024"},
	} {
		if _, err := New(c.kind, c.outputs, c.inputs, Faults{}); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s %dx%d: %v; it should say %q", c.kind, c.inputs, c.outputs, err, c.says)
		}
	}
	if _, err := New(Contacts, 2, 2, Faults{Stuck: []Crosspoint{{3, 1}}}); !errors.Is(err, ErrOutside) {
		t.Errorf("a fault outside: %v", err)
	}
}

func TestContactsCloseAnySet(t *testing.T) {
	m := made(t, Contacts, 4, 4, Faults{})
	want := []Crosspoint{{1, 1}, {1, 2}, {2, 2}, {4, 2}}
	if err := m.Close(Line, want[3], want[0], want[2], want[1]); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, m.State()); diff != "" {
		t.Error(diff)
	}
	if m.Listens(1) != 1 || m.Listens(3) != 0 {
		t.Errorf("out1 listens to %s, out3 to %s", m.Listens(1), m.Listens(3))
	}
}

func TestChangesAreAllOrNothing(t *testing.T) {
	m := made(t, Contacts, 2, 2, Faults{})
	if err := m.Close(Line, Crosspoint{1, 1}, Crosspoint{2, 3}); !errors.Is(err, ErrOutside) {
		t.Errorf("closing outside: %v", err)
	}
	if err := m.Set(Line, Crosspoint{1, 1}, Crosspoint{3, 0}); !errors.Is(err, ErrOutside) {
		t.Errorf("setting outside: %v", err)
	}
	if state := m.State(); len(state) != 0 || m.Last() != 0 {
		t.Errorf("something moved: %v", state)
	}
}

func TestSetLetsTheLastWordCount(t *testing.T) {
	m := made(t, Contacts, 2, 4, Faults{})
	if err := m.Set(Line, Crosspoint{1, 1}, Crosspoint{2, 2}, Crosspoint{1, 3}); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]Crosspoint{{1, 3}, {2, 2}}, m.State()); diff != "" {
		t.Error(diff)
	}
	if err := m.Set(Line, Crosspoint{1, 0}); err != nil || m.Listens(1) != 0 {
		t.Errorf("off: %v, out1 listens to %s", err, m.Listens(1))
	}
}

func TestSelectorsListenToOneInput(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := made(t, Selectors, 4, 4, Faults{})
		last := map[Output]Input{}
		for _, c := range rapid.SliceOf(crosspoints()).Draw(t, "closed one after the other") {
			if err := m.Close(Front, c); err != nil {
				t.Fatal(err)
			}
			last[c.Output] = c.Input
		}
		state := m.State()
		if len(state) != len(last) {
			t.Fatalf("%d outputs were set, and %v are closed", len(last), state)
		}
		for _, c := range state {
			if last[c.Output] != c.Input {
				t.Fatalf("%s was set to %s last; closed are %v", c.Output, last[c.Output], state)
			}
		}
	})
}

func crosspoints() *rapid.Generator[Crosspoint] {
	return rapid.Custom(func(t *rapid.T) Crosspoint {
		return Crosspoint{Output(rapid.IntRange(1, 4).Draw(t, "output")), Input(rapid.IntRange(1, 4).Draw(t, "input"))}
	})
}

// What is closed follows from the events alone.
func TestHistoryTellsTheState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]Kind{Contacts, Selectors}).Draw(t, "kind")
		m := made(t, kind, 4, 4, Faults{Welded: []Crosspoint{{4, 4}}, Stuck: []Crosspoint{{3, 3}}})
		told := map[Crosspoint]bool{{4, 4}: true}
		for range rapid.IntRange(0, 20).Draw(t, "changes") {
			list := rapid.SliceOf(crosspoints()).Draw(t, "crosspoints")
			switch rapid.IntRange(0, 3).Draw(t, "change") {
			case 0:
				m.Close(Line, list...)
			case 1:
				m.Open(Front, list...)
			case 2:
				m.Set(Line, list...)
			case 3:
				m.Restart()
			}
		}
		for i, e := range m.History(0) {
			if e.Number != i+1 || told[e.Crosspoint] == e.Closed {
				t.Fatalf("event %+v at %d does not follow", e, i)
			}
			told[e.Crosspoint] = e.Closed
		}
		for c, closed := range told {
			if m.Closed(c) != closed {
				t.Fatalf("%s is closed: %t, told: %t", c, m.Closed(c), closed)
			}
		}
		if m.Closed(Crosspoint{3, 3}) || !m.Closed(Crosspoint{4, 4}) {
			t.Fatalf("stuck or welded moved: %v", m.State())
		}
	})
}

func TestHistoryForgetsTheOldest(t *testing.T) {
	m := made(t, Contacts, 1, 1, Faults{})
	for range 3 * Remembered {
		m.Close(Line, Crosspoint{1, 1})
		m.Open(Line, Crosspoint{1, 1})
	}
	events := m.History(0)
	if len(events) != Remembered || events[len(events)-1].Number != m.Last() || m.Last() != 6*Remembered {
		t.Errorf("%d events remembered, of %d", len(events), m.Last())
	}
	if later := m.History(m.Last() - 2); len(later) != 2 {
		t.Errorf("after the last but two come %v", later)
	}
}

func TestRefusedChangesMoveNothing(t *testing.T) {
	m := made(t, Contacts, 2, 2, Faults{Refuse: 2})
	c := Crosspoint{1, 1}
	if err := m.Close(Line, c); err != nil {
		t.Errorf("the first: %v", err)
	}
	if err := m.Open(Line, c); !errors.Is(err, ErrRefused) || !m.Closed(c) {
		t.Errorf("the second: %v, closed: %t", err, m.Closed(c))
	}
	for range 2 {
		if err := m.Open(Front, c); err != nil || m.Closed(c) {
			t.Errorf("a hand on the front is never refused: %v", err)
		}
	}
}

func TestStateAsJSON(t *testing.T) {
	m := made(t, Selectors, 2, 3, Faults{})
	for _, want := range []string{
		`{"kind":"selectors","inputs":3,"outputs":2,"closed":[]}`,
		`{"kind":"selectors","inputs":3,"outputs":2,"closed":[{"output":"out2","input":"in3"}]}`,
	} {
		if got, err := json.Marshal(m); err != nil || string(got) != want {
			t.Errorf("%s, %v; wanted %s", got, err, want)
		}
		m.Close(Front, Crosspoint{2, 3})
	}
}

func TestWatchWakesOnceForManyChanges(t *testing.T) {
	m := made(t, Contacts, 2, 2, Faults{})
	changed, stop := m.Watch()
	m.Close(Front, Crosspoint{1, 1})
	m.Close(Front, Crosspoint{2, 2})
	<-changed
	select {
	case <-changed:
		t.Error("woken twice with nothing new")
	default:
	}
	stop()
	m.Restart()
	select {
	case <-changed:
		t.Error("woken after it was stopped")
	default:
	}
	if got := m.History(0); !slices.Equal([]Hand{got[0].By, got[1].By, got[2].By, got[3].By}, []Hand{Front, Front, Power, Power}) {
		t.Errorf("events %v", got)
	}
}
