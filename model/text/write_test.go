package text_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

func TestWriteSession(t *testing.T) {
	room := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	s, _ := readSession(t, "testdata/ok/boathouse/session-first.yaml")
	s.Notes = "Vocal chain\nas on the first mix."
	got := string(text.WriteSession(*s, text.InStudio(room), text.Remarks("written by hand", "and by night")))
	want := `# written by hand
# and by night
session: "Tern Quartet, first mix"
program: 12
connect:
  - vocal: interface/out7 -> bus/in1
  - interface/out1 -> squeeze/1 -> interface/in1
  - interface/out3-4 -> [recorder/in1-2, speakers/in1-2]
  - {from: interface/out5, to: plate/in1, via: grid}
  - plate/out1-2 -> interface/in7-8
  - desk/ins1 -> squeeze/2 -> desk/ins1
  - interface/out9 -> tank -> [interface/in9, opto/1 -> interface/in10-11]
keep:
  - talkback/out1 -> cue/in2
silent: [cue/in1]
cut: [speakers]
allow: [loop bus/mix1]
inside: [interface/in1 -> interface/out3]
programs: {plate: 7, tank: 128}
settings:
  squeeze: {threshold: -12 dB, ratio: "4:1", knee: off}
  plate: {decay: 012}
pictures:
  squeeze: pictures/squeeze.jpg
  plate: plate.PNG
notes: |-
  Vocal chain
  as on the first mix.
patch:
  cords:
    - main/t1 - main/b25
`
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// drawSession makes a session of the boathouse with all that can be written.
func drawSession(t *rapid.T, room *studio.Studio) session.Session {
	random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
	var inputs, outputs []name.Point
	for _, g := range room.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Output {
				outputs = append(outputs, p.Point)
			} else {
				inputs = append(inputs, p.Point)
			}
		}
	}
	// Runs of neighbours stay together half of the time, so that ranges are seen.
	if rapid.Bool().Draw(t, "shuffled") {
		random.Shuffle(len(inputs), func(i, j int) { inputs[i], inputs[j] = inputs[j], inputs[i] })
	}
	s := session.Session{Name: "drawn", Title: rapid.SampledFrom([]string{"x", "Möwe: \"two\"", "off", "- a", "#", "琴と\ttab", "'", "a # b", "012", "\\"}).Draw(t, "title"), Program: rapid.IntRange(-1, 127).Draw(t, "program")}
	if s.Program >= 0 {
		s.Bank = rapid.IntRange(0, 16383).Draw(t, "bank")
	}
	s.Notes = rapid.SampledFrom([]string{"", "one line", "two\nlines", " blank\n\nlines ", "tab\there", "a: b\n# c", "end\n"}).Draw(t, "notes")
	chain := 0
	for range rapid.IntRange(0, 25).Draw(t, "wants") {
		w := session.Want{Source: outputs[random.IntN(len(outputs))], Destination: inputs[0], Chain: chain, Keep: rapid.IntRange(0, 5).Draw(t, "keep") == 0}
		inputs = inputs[1:]
		w.Label = rapid.SampledFrom([]string{"", "", "", "vocal", "from", "a: b", "Geige & Cello", "1"}).Draw(t, "label")
		if w.Label == "from" {
			w.Label = "to the room"
		}
		if rapid.IntRange(0, 5).Draw(t, "ways") == 0 {
			w.Via, w.Avoid = []string{"grid"}, []string{"main", "far"}
		}
		if rapid.Bool().Draw(t, "next") {
			chain++
		}
		s.Wants = append(s.Wants, w)
	}
	s.Silent = slices.Clone(inputs[:rapid.IntRange(0, 5).Draw(t, "silent")])
	if rapid.Bool().Draw(t, "more") {
		s.Cut = []string{"speakers"}
		s.Loops = []name.Point{name.At("bus", "mix", 1)}
		s.Inside = []studio.Pass{{In: name.At("interface", "in", 1), Out: name.At("interface", "out", 3)}, {In: name.At("interface", "in", 2), Out: name.At("interface", "out", 4)}, {In: name.At("interface", "in", 9), Out: name.At("interface", "out", 1)}, {In: name.At("interface", "in", 9), Out: name.At("interface", "out", 2)}}
		s.Programs = []session.Program{{Gear: "plate", Number: 7}, {Gear: "tank", Number: 0}}
		s.Settings = []session.Settings{{Gear: "opto", Values: []session.Setting{{Name: "ratio: fine", Value: "4:1"}, {Name: "knee", Value: "{soft}"}}}}
		p := drawPatch(t)
		s.Patch = &p
	}
	return s
}

// sorted are wants without what the writing may change: chains, and the lines
// that they stand in.
func sorted(wants []session.Want) []session.Want {
	plain := slices.Clone(wants)
	for i := range plain {
		plain[i].Key, plain[i].Chain, plain[i].Hop = "", 0, 0
	}
	slices.SortFunc(plain, func(a, b session.Want) int { return a.Destination.Compare(b.Destination) })
	return plain
}

func TestSessionsAreReadBack(t *testing.T) {
	room := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	rapid.Check(t, func(t *rapid.T) {
		s := drawSession(t, room)
		written := text.WriteSession(s, text.InStudio(room))
		back, _, problems := text.ReadSession("drawn.yaml", written, room, nil)
		if problems != nil {
			t.Fatalf("%v\n%s", problems, written)
		}
		s.Wants, back.Wants = sorted(s.Wants), sorted(back.Wants)
		if len(s.Silent) == 0 {
			s.Silent = nil
		}
		if diff := cmp.Diff(&s, back); diff != "" {
			t.Fatalf("(-want +got):\n%s\n%s", diff, written)
		}
	})
}

func TestSessionsWithoutTheirStudio(t *testing.T) {
	room := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	s, _ := readSession(t, "testdata/ok/boathouse/session-first.yaml")
	s.Programs = nil
	written := text.WriteSession(*s)
	back, _, problems := text.ReadSession("session-first.yaml", written, room, nil)
	if problems != nil {
		t.Fatalf("%v\n%s", problems, written)
	}
	s.Wants, back.Wants = sorted(s.Wants), sorted(back.Wants)
	if diff := cmp.Diff(s, back); diff != "" {
		t.Errorf("(-want +got):\n%s\n%s", diff, written)
	}
}

// Whatever a patch or session is written with, a YAML reader takes it as the
// same text.
func TestTextsAreQuoted(t *testing.T) {
	room := &studio.Studio{Name: "x"}
	rapid.Check(t, func(t *rapid.T) {
		title := rapid.String().Draw(t, "title")
		if strings.ContainsRune(title, '\uFFFD') || title == "" {
			t.Skip("nothing to write, or what no file holds")
		}
		written := text.WriteSession(session.Session{Title: title, Notes: title, Program: -1, Patch: &patch.Patch{}})
		back, _, problems := text.ReadSession("x.yaml", written, room, nil)
		if problems != nil || back.Title != title || back.Notes != title {
			t.Fatalf("%q came back as %q and %q (%v)\n%s", title, back.Title, back.Notes, problems, written)
		}
	})
}
