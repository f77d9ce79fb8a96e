package listen_test

import (
	"os"
	"path/filepath"
	"slices"
	"strconv"
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

// readDay reads the script: a line is what is wrong at once.
func readDay(t *testing.T) (all [][]mischief) {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("testdata", "day.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(src)) {
		if line, _, _ = strings.Cut(line, "#"); strings.TrimSpace(line) == "" {
			continue
		}
		var wrong []mischief
		for part := range strings.SplitSeq(line, "+") {
			words := strings.Fields(part)
			m := mischief{does: words[0]}
			for _, w := range words[1:] {
				n, err := strconv.Atoi(w)
				if err != nil {
					t.Fatal(err)
				}
				m.cords = append(m.cords, n-1)
			}
			wrong = append(wrong, m)
		}
		all = append(all, wrong)
	}
	return all
}

// touched are the cords of a patch at which a hand did wrong.
func (m mischief) touched(told patch.Patch) (all []patch.Cord) {
	for _, n := range m.cords {
		all = append(all, told.Cords[n])
	}
	return all
}

// planted is the room with everything wrong at once.
func planted(t *testing.T, told patch.Patch, wrong []mischief) (real patch.Patch, faults []contacts.Fault) {
	t.Helper()
	real = told.Clone()
	for _, m := range wrong {
		faults = append(faults, m.plant(t, told, &real)...)
	}
	real.Cords = slices.DeleteFunc(real.Cords, func(c patch.Cord) bool { return c.A.IsZero() })
	return real, faults
}

// plant does one thing wrong. A cord that is taken out has no ends until all is done,
// so that the others keep their numbers.
func (m mischief) plant(t *testing.T, told patch.Patch, real *patch.Patch) []contacts.Fault {
	t.Helper()
	first := &real.Cords[m.cords[0]]
	switch m.does {
	case "missing":
		*first = patch.Cord{}
	case "beside":
		first.B.Number++
		if slices.Contains(told.Plugs(), first.B) {
			t.Fatalf("the jack beside cord %d is taken", m.cords[0]+1)
		}
	case "swapped":
		other := &real.Cords[m.cords[1]]
		first.B, other.B = other.B, first.B
	case "dead":
		return []contacts.Fault{{Cord: *first, Hot: contacts.Open, Cold: contacts.Open}}
	case "leg":
		return []contacts.Fault{{Cord: *first, Hot: contacts.Open}}
	case "reversed":
		return []contacts.Fault{{Cord: *first, Reversed: true}}
	case "half":
		return []contacts.Fault{{Cord: *first, HalfIn: [2]bool{true, false}}}
	default:
		t.Fatalf("%q is no way to do wrong", m.does)
	}
	return nil
}

// looks is how many places a hand looks at, in the order in which they are told, until it
// stands at something that is wrong, and which of all that is wrong that is; -1 where
// nothing that is told leads there.
func looks(a *listen.Answer, told patch.Patch, wrong []mischief) (places, at int) {
	for _, f := range a.Found.Findings {
		for _, m := range append([]suspect.Mistake{f.Mistake}, f.OrElse...) {
			places++
			at := slices.IndexFunc(wrong, func(w mischief) bool {
				return slices.ContainsFunc(w.touched(told), func(c patch.Cord) bool {
					return m.Concerns(c) || slices.Contains(m.At, c.A) || slices.Contains(m.At, c.B)
				})
			})
			if at >= 0 {
				return places, at
			}
		}
	}
	return places, -1
}

// misplaced says whether a cord that is elsewhere than it was told, or carries nothing, is
// called sure. Where a plug is says nothing of its legs: behind gear without a reference
// they are not judged.
func misplaced(a *listen.Answer, told patch.Patch, wrong []mischief) bool {
	for _, m := range wrong {
		if slices.Contains([]string{"leg", "reversed", "half"}, m.does) {
			continue
		}
		for _, c := range m.touched(told) {
			if slices.ContainsFunc(a.Found.Sure, c.Same) {
				return true
			}
		}
	}
	return false
}

// A day at the boathouse: a script that knows nothing of how faults are found does one
// thing wrong after the other, later several at once. After each listening a hand goes
// where it is told, place after place, mends what it finds there, and listens again: at
// most one round more than there are faults. What cannot be heard is never called sure.
// An ordinary run takes the first line and does not listen again; BAYHAND_DAY=whole all.
func TestADayAtTheBoathouse(t *testing.T) {
	finds(t)
	b := newBoathouse(t)
	day := readDay(t)
	whole := os.Getenv("BAYHAND_DAY") == "whole"
	if !whole {
		day = day[:1]
	}
	s := b.session()
	told := b.patch(s)
	mended, atOnce, unheard := 0, 0, 0
	for _, wrong := range day {
		for round := 0; ; round++ {
			real, faults := planted(t, told, wrong)
			a := b.listen(s, told, real, faults)
			if misplaced(a, told, wrong) {
				t.Errorf("%+v: a cord of it is called sure", wrong)
			}
			if a.AsItShould() {
				unheard += len(wrong)
				if len(wrong) > 0 {
					t.Logf("%+v is not heard", wrong)
				}
				break
			}
			places, at := looks(a, told, wrong)
			if at < 0 || round > 3 {
				t.Errorf("%+v, round %d: nothing that is told leads there: %+v, unexplained %+v", wrong, round, a.Found.Findings, a.Found.Unexplained)
				break
			}
			mended++
			if places == 1 {
				atOnce++
			}
			wrong = slices.Delete(slices.Clone(wrong), at, at+1)
			if !whole && len(wrong) == 0 {
				break
			}
		}
	}
	t.Logf("%d faults were mended as told, %d of them at the first place that was named; %d cannot be heard from there", mended, atOnce, unheard)
	if mended == 0 {
		t.Error("nothing was found all day")
	}
}
