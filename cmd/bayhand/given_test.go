package main

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/text"
	"bayhand/recall/files"
	"bayhand/recall/keep"
)

// A session is asked about in the patch that gives it in the room, or that the steps left
// lead to. Where neither does, the one of its file counts, and only then one is planned: with
// the shortest cord.
func TestGivenByTheRoom(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`
studio: Small room
gear:
  desk: {outputs: {out1: pro-line}}
  tape: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 4, jack: quarter-inch, modes: {1-4: isolated}}
wiring: [desk/out1 -> main/t1, main/b1 -> tape/in1]
cords: {stock: {30 cm: 1, 60 cm: 1}}
`))
	of, _, more := text.ReadSession("mix.yaml", []byte("session: Mix\nconnect: [desk/out1 -> tape/in1]\n"), s, nil)
	if problems.Errors() || more.Errors() {
		t.Fatal(problems, more)
	}
	p := &files.Studio{Studio: s, Room: heard.NewRoom(s)}
	long := patch.Patch{Cords: []patch.Cord{{A: name.At("main", "t", 1), B: name.At("main", "b", 1), Length: 60 * measure.Centimetre}}}
	known := func(in patch.Patch) keep.Known {
		as := *s
		as.Rest = in
		return keep.Memory{}.OrRest(&as)
	}
	is := keep.Status{Session: "mix", Known: known(long)}
	to := keep.Status{Session: "mix", Known: known(s.Rest), Plan: &plan.Plan{Target: plan.Target(long)}}
	other := to
	other.Session = "voice"
	for what, c := range map[string]struct {
		status keep.Status
		file   *patch.Patch
		want   measure.Length
	}{
		"it is in": {is, nil, 60 * measure.Centimetre}, "steps lead to it": {to, nil, 60 * measure.Centimetre},
		"its file has it": {other, &long, 60 * measure.Centimetre}, "it is planned": {other, nil, 30 * measure.Centimetre},
	} {
		of.Patch = c.file
		got, all, err := givenBy(t.Context(), p, of, inRoom(c.status, "mix"), nil)
		if err != nil || !all || len(got.Cords) != 1 || got.Cords[0].Length != c.want {
			t.Errorf("%s: %v, %v, %v", what, got, all, err)
		}
	}
}
