package listen_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/reading"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/model/text"
	"bayhand/model/tones"
	"bayhand/recall/listen"
	"bayhand/simulators/contacts"
	"bayhand/simulators/sound"
)

// boathouse is the demo's studio, whose interface is the sound device.
type boathouse struct {
	*testing.T
	studio *studio.Studio
}

func newBoathouse(t *testing.T) *boathouse {
	t.Helper()
	b := &boathouse{T: t}
	src, err := os.ReadFile(filepath.Join("..", "..", "cmd", "bayhand", "demo", "heron", "studio.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, _, problems := text.ReadStudio("studio.yaml", src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	for i, g := range s.Gear {
		if g.Name != "interface" {
			continue
		}
		made := &studio.Sound{Link: "files"}
		for _, p := range g.Ports {
			channels := &made.Outputs
			if p.Direction == studio.Input {
				channels = &made.Inputs
			}
			*channels = append(*channels, studio.SoundChannel{Port: p.Point, Channel: len(*channels) + 1})
		}
		s.Gear[i].Sound = made
	}
	b.studio = s
	return b
}

// sends is a session of the day: outputs through gear, and straight, to inputs.
const sends = `session: Sends, all day
connect:
  - interface/out9-10 -> squeeze/1-2 -> interface/in5-6
  - interface/out11 -> shaper/1 -> interface/in7
  - interface/out12 -> interface/in3
  - interface/out13 -> interface/in4
`

func (b *boathouse) session() *session.Session {
	b.Helper()
	s, _, problems := text.ReadSession("sends.yaml", []byte(sends), b.studio, nil)
	if problems.Errors() {
		b.Fatal(problems)
	}
	return s
}

// patch is what gives a session.
func (b *boathouse) patch(s *session.Session) patch.Patch {
	b.Helper()
	made, err := planner.Make(b.Context(), plan.Request{Studio: b.studio, Session: s, From: b.studio.Rest})
	if err != nil {
		b.Fatal(err)
	}
	return patch.Patch(made.Target)
}

// listen plays and reads, in a room that is patched as it is.
func (b *boathouse) listen(s *session.Session, told, real patch.Patch, faults []contacts.Fault) *listen.Answer {
	b.Helper()
	r := listen.Request{Room: heard.NewRoom(b.studio).For(s, told), Session: s, Patch: told, With: "speakers,cue,radio,voice,listen"}
	l, err := listen.Prepare(r)
	if err != nil {
		b.Fatal(err)
	}
	room := &sound.Room{Studio: b.studio, States: []sound.State{{Patch: real, Faults: faults}}, Device: sound.Device{Noise: -100, Bits: 24, Late: 777}}
	var played [][]float32
	test := l.Comb.Sound(tones.FirstLevel, l.Channels())
	for ch, c := range l.Device.Sound.Outputs {
		room.Outputs, played = append(room.Outputs, c.Port), append(played, test.Channel(ch))
	}
	room.Inputs = l.Inputs()
	recorded, err := room.Record(played)
	if err != nil {
		b.Fatal(err)
	}
	a, err := l.Judge(b.Context(), reading.Recording{Rate: l.Rate(), Channels: recorded}, l.Inputs(), tones.FirstLevel)
	if err != nil {
		b.Fatal(err)
	}
	return a
}

// mischief is a fault as the script of the day has it.
type mischief struct {
	does  string
	cords []int
}

func readDay(t *testing.T) (all []mischief) {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("testdata", "day.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(src)) {
		words := strings.Fields(line)
		if len(words) == 0 || words[0] == "#" {
			continue
		}
		m := mischief{does: words[0]}
		for _, w := range words[1:] {
			n := 0
			if _, err := fmt.Sscan(w, &n); err != nil {
				t.Fatal(err)
			}
			m.cords = append(m.cords, n-1)
		}
		all = append(all, m)
	}
	return all
}

// plant is the room after it; false where it cannot be done to this patch.
func (m mischief) plant(told patch.Patch) (real patch.Patch, faults []contacts.Fault, touched []patch.Cord, can bool) {
	real = told.Clone()
	for _, n := range m.cords {
		if n >= len(real.Cords) {
			return real, nil, nil, false
		}
		touched = append(touched, told.Cords[n])
	}
	cord := touched[0]
	switch m.does {
	case "missing":
		real.Cords = slices.Delete(real.Cords, m.cords[0], m.cords[0]+1)
	case "beside":
		to := cord.B
		to.Number++
		if slices.Contains(told.Plugs(), to) {
			return real, nil, nil, false
		}
		real.Cords[m.cords[0]].B = to
	case "swapped":
		a, c := &real.Cords[m.cords[0]], &real.Cords[m.cords[1]]
		if a.B.Owner != c.B.Owner {
			return real, nil, nil, false
		}
		a.B, c.B = c.B, a.B
	case "dead":
		faults = []contacts.Fault{{Cord: cord, Hot: contacts.Open, Cold: contacts.Open}}
	case "leg":
		faults = []contacts.Fault{{Cord: cord, Hot: contacts.Open}}
	case "reversed":
		faults = []contacts.Fault{{Cord: cord, Reversed: true}}
	case "half":
		faults = []contacts.Fault{{Cord: cord, HalfIn: [2]bool{true, false}}}
	}
	return real, faults, touched, true
}

// named says whether an answer leads a hand to one of some cords, as what was found or
// as what else it may be.
func named(a *listen.Answer, touched []patch.Cord) bool {
	for _, f := range a.Found.Findings {
		for _, m := range append([]suspect.Mistake{f.Mistake}, f.OrElse...) {
			for _, c := range touched {
				if m.Concerns(c) || slices.Contains(m.At, c.A) || slices.Contains(m.At, c.B) {
					return true
				}
			}
		}
	}
	return false
}

// A day at the boathouse: a script that knows nothing of how it is found plants one
// fault after the other. Each that can be heard leads a hand to its cord; a cord that is
// elsewhere than it was told, and is not heard to be, is never called sure; mended, the
// room is as it should be. An ordinary run takes the first line; BAYHAND_DAY=whole all.
func TestADayAtTheBoathouse(t *testing.T) {
	b := newBoathouse(t)
	day := readDay(t)
	whole := os.Getenv("BAYHAND_DAY") == "whole"
	if !whole {
		day = day[:1]
	}
	s := b.session()
	told := b.patch(s)
	found, unheard := 0, 0
	for _, m := range day {
		real, faults, touched, can := m.plant(told)
		if !can {
			t.Errorf("%+v cannot be done to %v", m, told.Cords)
			continue
		}
		a := b.listen(s, told, real, faults)
		if !a.AsItShould() {
			found++
			if !named(a, touched) {
				t.Errorf("%+v at %v: found are %+v, unexplained %+v", m, touched, a.Found.Findings, a.Found.Unexplained)
			}
			continue
		}
		unheard++
		t.Logf("%+v at %v is not heard", m, touched)
		for _, c := range touched {
			// Where a plug is says nothing of its legs: behind gear without a reference
			// they are not judged.
			place := !slices.Contains([]string{"leg", "reversed", "half"}, m.does)
			if place && slices.ContainsFunc(a.Found.Sure, c.Same) {
				t.Errorf("%+v is not heard, and %v is called sure", m, c)
			}
		}
	}
	if whole {
		if a := b.listen(s, told, told, nil); !a.AsItShould() {
			t.Errorf("mended, it is not as it should be: %+v %+v", a.Found.Findings, a.Troubles())
		}
	}
	t.Logf("%d faults were found, %d cannot be heard from there", found, unheard)
	if found == 0 {
		t.Error("nothing was found all day")
	}
}
