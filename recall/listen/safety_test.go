package listen

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/reading"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/model/tones"
	"bayhand/simulators/contacts"
)

// drawnRoom is a room with a loudspeaker, drawn: which outputs of the interface stand
// on the bay, which at a matrix and which at the loudspeaker itself, and whether a jack
// leads into the matrix as well.
func drawnRoom(r *rand.Rand) string {
	wires := "  - grid/out1 -> speakers/in1\n  - squeeze/out1 -> main/t8\n  - main/b8 -> squeeze/in1\n"
	jack, entry := 0, 0
	for out := 1; out <= 6; out++ {
		switch {
		case r.IntN(5) == 0 && entry < 3:
			entry++
			wires += fmt.Sprintf("  - interface/out%d -> grid/in%d\n", out, entry)
		case r.IntN(8) == 0:
			wires += fmt.Sprintf("  - interface/out%d -> speakers/in2\n", out)
			return room(r, wires+bay(r, jack, entry))
		default:
			jack++
			wires += fmt.Sprintf("  - interface/out%d -> main/t%d\n  - main/b%d -> interface/in%d\n", out, jack, jack, jack)
		}
	}
	return room(r, wires+bay(r, jack, entry))
}

// bay leads a jack to the matrix, now and then.
func bay(r *rand.Rand, jack, entry int) string {
	if jack < 7 && entry < 4 && r.IntN(2) == 0 {
		return fmt.Sprintf("  - main/b7 -> grid/in%d\n", entry+1)
	}
	return ""
}

func room(r *rand.Rand, wires string) string {
	mode := []string{"isolated", "half-normal", "full-normal"}[r.IntN(3)]
	return `studio: drawn
gear:
  interface: {outputs: {out1-6: pro-line}, inputs: {in1-6: pro-line}, sound: {link: files}}
  squeeze: {channels: 1, line: pro-line}
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker}
matrices:
  grid: {inputs: 4, outputs: 2}
bays:
  main: {pairs: 8, modes: ` + mode + `}
wiring:
` + wires
}

// jacks are all of the bay that hold no plug.
func free(p patch.Patch) []name.Point {
	taken := map[name.Point]bool{}
	for _, at := range p.Plugs() {
		taken[at] = true
	}
	var found []name.Point
	for n := 1; n <= 8; n++ {
		for _, side := range []string{"t", "b"} {
			if at := name.At("main", side, n); !taken[at] {
				found = append(found, at)
			}
		}
	}
	return found
}

// mistaken is a patch with one thing done wrong.
func mistaken(p patch.Patch, r *rand.Rand) patch.Patch {
	p = p.Clone()
	jacks := free(p)
	switch kind := r.IntN(4); {
	case kind == 0 && len(p.Cords) > 0:
		at := r.IntN(len(p.Cords))
		p.Cords = append(p.Cords[:at], p.Cords[at+1:]...)
	case kind == 1 && len(p.Cords) > 0:
		p.Cords[r.IntN(len(p.Cords))].B = jacks[r.IntN(len(jacks))]
	case kind == 2:
		p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: name.At("grid", "out", 1), Input: name.At("grid", "in", 1+r.IntN(4))})
	default:
		at := r.Perm(len(jacks))
		p.Cords = append(p.Cords, patch.Cord{A: jacks[at[0]], B: jacks[at[1]]})
	}
	return p
}

// audible is the gain from which something is heard: -60 dB.
const audible = 1e-3

// arrives says which outputs of the interface arrive, in the metal of a patch, at
// points; what goes through the effect is followed.
func arrives(t *testing.T, s *studio.Studio, p patch.Patch, outputs, at []name.Point) [][]bool {
	t.Helper()
	b, err := contacts.BuildWith(s, p, nil)
	if err != nil {
		t.Fatal(err)
	}
	meter, err := b.Measure()
	if err != nil {
		t.Fatal(err)
	}
	hears := func(in, out name.Point) bool { return math.Abs(float64(meter.Level(in, out))) > audible }
	through, from := name.At("squeeze", "in", 1), name.At("squeeze", "out", 1)
	all := make([][]bool, len(at))
	for i, in := range at {
		for _, out := range outputs {
			all[i] = append(all[i], hears(in, out) || hears(through, out) && hears(in, from))
		}
	}
	return all
}

// answerOf is what listening to the metal would give.
func answerOf(l *Plan, arrived [][]bool) *Answer {
	whole := &reading.Reading{Rate: l.Comb.Rate, Inputs: make([]reading.Input, len(arrived))}
	for i := range arrived {
		var paths []reading.Path
		for _, found := range arrived[i] {
			paths = append(paths, reading.Path{Found: found, Polarity: reading.Kept, Coherence: 1})
		}
		whole.Paths = append(whole.Paths, paths)
	}
	return l.judge([]part{{whole: whole, paths: l.played(whole)}}, l.Inputs(), tones.FirstLevel)
}

// In a room that is as it was told, or otherwise by one mistake at the bay or the
// matrix, no output that plays comes to a loudspeaker; with more mistakes none does
// above the level of the first pass, since no louder pass follows unasked. Rooms are
// drawn, and so are mistakes; BAYHAND_ROOMS says how many: 100,000 is the long form.
func TestNoLoudspeakerIsPlayedTo(t *testing.T) {
	rooms := 60
	if asked, err := strconv.Atoi(os.Getenv("BAYHAND_ROOMS")); err == nil {
		rooms = asked
	}
	r := rand.New(rand.NewPCG(17, 0))
	var silent, spared, quiet, asked, played int
	for n := range rooms {
		src := drawnRoom(r)
		s, _, problems := text.ReadStudio("studio.yaml", []byte(src))
		if problems.Errors() {
			t.Fatalf("%s\n%v", src, problems)
		}
		told := patch.Patch{}
		for range r.IntN(4) {
			jacks := free(told)
			at := r.Perm(len(jacks))
			told.Cords = append(told.Cords, patch.Cord{A: jacks[at[0]], B: jacks[at[1]]})
		}
		none := &session.Session{Program: -1}
		l, err := Prepare(Request{Room: heard.NewRoom(s).For(none, told), Session: none, Patch: told})
		if err != nil {
			t.Fatal(err)
		}
		if l.NeedDriven() != nil {
			silent++
			continue
		}
		played++
		real, wrong := told, n%4
		for range wrong {
			real = mistaken(real, r)
		}
		outs := l.Outputs(nil)
		ears, others := false, false
		for _, at := range arrives(t, s, real, outs, l.Guarded) {
			for place, heard := range at {
				drives := slices.Contains(l.Driven, place)
				ears, others = ears || heard && drives, others || heard && !drives
			}
		}
		if others {
			spared++
		}
		if !ears {
			continue
		}
		if wrong <= 1 {
			t.Fatalf("room %d: with %d mistakes a loudspeaker hears an output that plays\n%s\ntold %v\nreal %v", n, wrong, src, told, real)
		}
		quiet++
		a := answerOf(l, arrives(t, s, real, outs, l.Inputs()))
		if a.mayGrow(-60, Way{Then: tones.SecondLevel}, false) == nil {
			t.Fatalf("room %d: a louder pass follows into a loudspeaker\n%s\ntold %v\nreal %v", n, src, told, real)
		}
		if a.mayGrow(-60, Way{Then: tones.SecondLevel}, true) == nil {
			asked++
		}
	}
	if played*4 < rooms || spared*20 < rooms {
		t.Errorf("of %d rooms only %d were played to, and in only %d an output that was left out would have been heard", rooms, played, spared)
	}
	t.Logf("%d rooms, in %d of which no output may play; in %d a loudspeaker was spared an output that was left out; by two mistakes or three a loudspeaker heard the quiet pass in %d, and would have heard a louder one that was asked for in %d", rooms, silent, spared, quiet, asked)
}
