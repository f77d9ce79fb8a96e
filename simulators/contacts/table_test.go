package contacts_test

import (
	"math"
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
	"bayhand/simulators/rooms"
)

// Sources of the rows of the table below.
const (
	column   = `trade column "Jackfield full-normals, half-normals and no normals at all" (tvtechnology.com)`
	practice = "common practice, no published source"
)

// row says who hears whom at one pair: source S is wired to the top jack and
// destination D to the bottom one. Cord T leads from the top jack to input T,
// cord B from output B to the bottom jack.
type row struct {
	mode        studio.Mode
	top, bottom bool     // a cord in the top jack, in the bottom jack
	d, t        []string // what D hears, and what input T hears
	fight       bool
	source      string
}

// The rows of modes that the column defines follow from its definitions: a full
// normal breaks at either jack; a half-normal only at the lower, destination
// jack, while a cord in the upper one shares the source; without a normal the
// jacks are not joined.
var truth = []row{
	{mode: studio.HalfNormal, d: []string{"S"}, source: column},
	{mode: studio.HalfNormal, top: true, d: []string{"S"}, t: []string{"S"}, source: column},
	{mode: studio.HalfNormal, bottom: true, d: []string{"B"}, source: column},
	{mode: studio.HalfNormal, top: true, bottom: true, d: []string{"B"}, t: []string{"S"}, source: column},

	{mode: studio.FullNormal, d: []string{"S"}, source: column},
	{mode: studio.FullNormal, top: true, t: []string{"S"}, source: column},
	{mode: studio.FullNormal, bottom: true, d: []string{"B"}, source: column},
	{mode: studio.FullNormal, top: true, bottom: true, d: []string{"B"}, t: []string{"S"}, source: column},

	{mode: studio.Isolated, source: column},
	{mode: studio.Isolated, top: true, t: []string{"S"}, source: column},
	{mode: studio.Isolated, bottom: true, d: []string{"B"}, source: column},
	{mode: studio.Isolated, top: true, bottom: true, d: []string{"B"}, t: []string{"S"}, source: column},

	{mode: studio.Parallel, d: []string{"S"}, source: practice},
	{mode: studio.Parallel, top: true, d: []string{"S"}, t: []string{"S"}, source: practice},
	{mode: studio.Parallel, bottom: true, fight: true, source: practice},
	{mode: studio.Parallel, top: true, bottom: true, fight: true, source: practice},

	// The module turned round: the top jack breaks.
	{mode: studio.HalfNormalTop, d: []string{"S"}, source: practice},
	{mode: studio.HalfNormalTop, top: true, t: []string{"S"}, source: practice},
	{mode: studio.HalfNormalTop, bottom: true, fight: true, source: practice},
	{mode: studio.HalfNormalTop, top: true, bottom: true, d: []string{"B"}, t: []string{"S"}, source: practice},
}

func TestTruthTable(t *testing.T) {
	for _, r := range truth {
		t.Run(r.title(), func(t *testing.T) {
			s, p := r.room()
			metal := measure(t, rooms.Room{Studio: s, Patch: p})
			state := heard.NewRoom(s).Hear(p)
			if got := len(metal.Fights()) > 0; got != r.fight {
				t.Errorf("outputs fight in the metal: %v; by the %s: %v", got, r.source, r.fight)
			}
			if got := len(state.Contentions()) > 0; got != r.fight {
				t.Errorf("outputs fight in the model: %v; by the %s: %v", got, r.source, r.fight)
			}
			if r.fight {
				return // what is heard is not defined
			}
			r.hears(t, "the metal", metal.Hears)
			r.hears(t, "the model", state.Hears)
		})
	}
}

func (r row) hears(t *testing.T, witness string, hears func(name.Point) []name.Point) {
	t.Helper()
	for owner, want := range map[string][]string{"d": r.d, "t": r.t} {
		var got []string
		for _, p := range hears(name.At(owner, "in", 1)) {
			got = append(got, map[string]string{"s": "S", "b": "B"}[p.Owner])
		}
		if !slices.Equal(got, want) {
			t.Errorf("in %s %s hears %v; by the %s it hears %v", witness, owner, got, r.source, want)
		}
	}
}

func (r row) title() string {
	text := r.mode.String()
	for _, end := range []struct {
		in   bool
		word string
	}{{r.top, " top"}, {r.bottom, " bottom"}} {
		if end.in {
			text += end.word
		}
	}
	return text
}

// room has the pair as pair 1, and an isolated pair 2 where the other ends of
// the cords are.
func (r row) room() (*studio.Studio, patch.Patch) {
	bay := studio.Bay{Name: "bay", Modes: []studio.Mode{r.mode, studio.Isolated}}
	s := &studio.Studio{
		Gear: []studio.Gear{source("s"), source("b"), destination("d"), destination("t")},
		Bays: []studio.Bay{bay},
		Wires: []studio.Wire{
			{From: name.At("s", "out", 1), To: bay.TopJack(1)},
			{From: bay.BottomJack(1), To: name.At("d", "in", 1)},
			{From: name.At("b", "out", 1), To: bay.TopJack(2)},
			{From: bay.BottomJack(2), To: name.At("t", "in", 1)},
		},
	}
	var p patch.Patch
	if r.top {
		p.Cords = append(p.Cords, patch.Cord{A: bay.TopJack(1), B: bay.BottomJack(2)})
	}
	if r.bottom {
		p.Cords = append(p.Cords, patch.Cord{A: bay.TopJack(2), B: bay.BottomJack(1)})
	}
	return s, p
}

// line is a line of 50 ohm into 10 kohm at professional level.
var line = studio.Line{Kind: studio.LineLevel, Level: 4, Max: 24, Source: 50, Load: 10e3, Balanced: true}

func source(gear string) studio.Gear      { return one(gear, "out", studio.Output) }
func destination(gear string) studio.Gear { return one(gear, "in", studio.Input) }

func one(gear, stem string, d studio.Direction) studio.Gear {
	return studio.Gear{Name: gear, Ports: []studio.Port{{Point: name.At(gear, stem, 1), Direction: d, Line: line}}}
}

// One cord from the top jack of pair 1 to the bottom jack of pair 2: of a
// half-normal, source 1 feeds its own normal and destination 2; of a full
// normal only destination 2, and its own falls silent. By the definitions of
// the trade column named above.
func TestOneCordTapsOrTakes(t *testing.T) {
	for _, c := range []struct {
		mode studio.Mode
		own  int // sources at destination 1
	}{{studio.HalfNormal, 1}, {studio.FullNormal, 0}} {
		t.Run(c.mode.String(), func(t *testing.T) {
			bay := studio.Bay{Name: "bay", Modes: []studio.Mode{c.mode, c.mode}}
			s := &studio.Studio{
				Gear: []studio.Gear{source("sa"), source("sb"), destination("da"), destination("db")},
				Bays: []studio.Bay{bay},
				Wires: []studio.Wire{
					{From: name.At("sa", "out", 1), To: bay.TopJack(1)},
					{From: bay.BottomJack(1), To: name.At("da", "in", 1)},
					{From: name.At("sb", "out", 1), To: bay.TopJack(2)},
					{From: bay.BottomJack(2), To: name.At("db", "in", 1)},
				},
			}
			p := patch.Patch{Cords: []patch.Cord{{A: bay.TopJack(1), B: bay.BottomJack(2)}}}
			metal := measure(t, rooms.Room{Studio: s, Patch: p})
			state := heard.NewRoom(s).Hear(p)
			for witness, hears := range map[string]func(name.Point) []name.Point{"metal": metal.Hears, "model": state.Hears} {
				if got := hears(name.At("da", "in", 1)); len(got) != c.own {
					t.Errorf("%s: destination 1 hears %v, which should be %d sources", witness, got, c.own)
				}
				want := []name.Point{name.At("sa", "out", 1)}
				if got := hears(name.At("db", "in", 1)); !slices.Equal(got, want) {
					t.Errorf("%s: destination 2 hears %v, not %v", witness, got, want)
				}
			}
		})
	}
}

// A tap loads the source with both inputs: 50 ohm into two of 10 kohm loses
// 20 log10(5000/5050) = 0.0864 dB, by the voltage divider of the textbooks
// (Ballou, Handbook for Sound Engineers).
func TestATapLoadsTheSource(t *testing.T) {
	s, p := row{mode: studio.HalfNormal, top: true}.room()
	metal := measure(t, rooms.Room{Studio: s, Patch: p})
	level := float64(metal.Level(name.At("d", "in", 1), name.At("s", "out", 1)))
	// The wires and the cord, 0.7 ohm there and back, lose 0.001 dB more.
	if decibel := 20 * math.Log10(level); math.Abs(decibel+0.0864) > 0.002 {
		t.Errorf("the tapped source loses %.4f dB; two loads of 10 kohm on 50 ohm lose 0.0864 dB", -decibel)
	}
}

func TestWhatCannotBeBuilt(t *testing.T) {
	s, _ := row{mode: studio.HalfNormal}.room()
	jack := name.At("bay", "t", 1)
	for want, p := range map[string]patch.Patch{
		"two plugs in bay/t1; a jack takes one": {Dummies: []name.Point{jack, jack}},
		"the room has no jack bay/t9":           {Dummies: []name.Point{name.At("bay", "t", 9)}},
		"lead: the room has no x/out1":          {Leads: []patch.Lead{{Port: name.At("x", "out", 1), Jack: jack}}},
	} {
		if _, err := contacts.Build(s, p); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}
