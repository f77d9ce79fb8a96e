package page

import (
	"context"
	"strings"
	"testing"

	"bayhand/model/text"
)

// The page of a host draws the bays and matrices of its own rooms and of what is in no
// room; of another host's it says where they are drawn, since it does not know what is in.
func TestBaysOfAnotherHost(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: Two rooms
gear: {desk: {outputs: {out1: pro-line}}, stage: {outputs: {out1: pro-line}}}
bays:
  main: {pairs: 4, modes: isolated}
  far: {pairs: 4, modes: isolated}
  core: {pairs: 4, modes: isolated}
matrices: {grid: {inputs: 2, outputs: 2}}
wiring: [desk/out1 -> main/t1, stage/out1 -> far/t1, far/b4 -> grid/in1]
rooms: {live: [far, grid], mix: [main]}
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	here := true
	h := New(Options{Room: &fake{status: status(t)}, Studio: s, House: func(context.Context) House {
		return House{Rooms: []HouseRoom{{Room: "mix", Host: "north", Here: here}, {Room: "live", Host: "south", Page: "http://south:7420"}}}
	}})
	for at, want := range map[string][]string{
		"/":           {`id="bay-main"`, `id="bay-core"`, `far and grid: in room <a href="http://south:7420">live</a>, drawn at host south`},
		"/?at=far/t1": {"far is in room live, which host south keeps: what is plugged there is known there"},
	} {
		page := looked(h, at)
		for _, text := range want {
			if !strings.Contains(page, text) {
				t.Errorf("%s lacks %q:\n%s", at, text, page)
			}
		}
		for _, text := range []string{`id="bay-far"`, `id="matrix-grid"`, "Report a plug in it", "no plug is known to be in it"} {
			if strings.Contains(page, text) {
				t.Errorf("%s has %q", at, text)
			}
		}
	}
	here = false // this host keeps no room, and draws what is in none
	if page := looked(h, "/"); strings.Contains(page, `id="bay-main"`) || !strings.Contains(page, `id="bay-core"`) {
		t.Errorf("a host without rooms draws others:\n%s", page)
	}
}
