package planner_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/text"
)

const visited = `
studio: A room with boxes, made up for this test
gear:
  interface:
    outputs: {out1-2: pro-line}
    inputs: {in1-4: pro-line}
    steals: {front1: in1}
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker}
  tape: {outputs: {out1-4: pro-line}}
  deck: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 12, modes: isolated}
boxes:
  floor-a: {jacks: 2, jack: xlr}
  floor-b: {jacks: 2, jack: xlr}
matrices:
  grid: {inputs: 4, outputs: 4, stereo: [[out1, out2]], missing: [in4 x out2], unused: open}
wiring:
  - floor-a/1-2 -> main/t1-2
  - floor-b/1-2 -> main/t3-4
  - main/b1-4 -> interface/in1-4
  - interface/out1-2 -> main/t9-10
  - tape/out1-4 -> grid/in1-4
  - grid/out1-2 -> deck/in1-2
  - grid/out3-4 -> speakers/in1-2
`

// make plans a session of the room, in an order of time, and holds the plan to
// what it promises.
func planned(t *testing.T, body string, from patch.Patch) (*plan.Plan, *session.Session) {
	t.Helper()
	studio, _, problems := text.ReadStudio("studio.yaml", []byte(visited))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	s, _, problems := text.ReadSession("s.yaml", []byte("session: s\n"+body), studio, nil)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	room := heard.NewRoom(studio)
	p, err := planner.Make(t.Context(), plan.Request{Studio: studio, From: from, Session: s})
	if err != nil {
		t.Fatal(err)
	}
	if faults := room.CheckGiven(s, patch.Patch(p.Target), nil); p.Given && len(faults) > 0 {
		t.Errorf("the plan does not give the session: %v", faults)
	}
	return p, s
}

func target(p *plan.Plan) string {
	return strings.Join(strings.Fields(string(text.WritePatch(patch.Patch(p.Target)))), " ")
}

// A guest hangs by leads in the box that it stands at, or anywhere.
func TestGuestsHangByLeads(t *testing.T) {
	for _, c := range []struct{ at, socket string }{{", at: floor-b", "floor-b/"}, {", at: floor-a", "floor-a/"}, {"", ""}} {
		p, _ := planned(t, "guests: {keys: {outputs: {out1: home-line}"+c.at+"}}\nconnect: [keys/out1 -> interface/in3]", patch.Patch{})
		if !p.Given || len(p.Target.Leads) != 1 || !strings.HasPrefix(p.Target.Leads[0].Jack.String(), c.socket) {
			t.Errorf("keys%s: %s (%v)", c.at, target(p), p.Missing)
		}
		for _, cord := range p.Target.Cords {
			if strings.HasPrefix(cord.A.String()+cord.B.String(), "floor") {
				t.Errorf("a cord is in a box: %v", cord)
			}
		}
	}
}

// A guest that a session has elsewhere than the one before is plugged anew there: no
// plan uses a lead in a place where the session does not have it, but where cords are
// left in on request.
func TestGuestsMoveWithTheirPlace(t *testing.T) {
	at := func(box string) string {
		return "guests: {keys: {outputs: {out1: home-line}, at: " + box + "}}\nconnect: [keys/out1 -> interface/in3]"
	}
	before, _ := planned(t, at("floor-b"), patch.Patch{})
	p, _ := planned(t, at("floor-a"), patch.Patch(before.Target))
	if !p.Given || len(p.Target.Leads) != 1 || p.Target.Leads[0].Jack.Owner != "floor-a" {
		t.Errorf("at floor-a now: %s (%v)", target(p), p.Missing)
	}
	if p.Least != p.Plugs {
		t.Errorf("%d plugs, of which %d are proved", p.Plugs, p.Least)
	}
	again, _ := planned(t, at("[floor-a, floor-b]"), patch.Patch(before.Target))
	if len(again.Moves) != 0 {
		t.Errorf("at either, moved is %v", again.Moves)
	}
}

// The leads of a guest who has gone are pulled, though no file knows it any
// more; what hangs there may sound, so it must not be joined with another.
func TestFormerGuestsArePulled(t *testing.T) {
	before, _ := planned(t, "guests: {keys: {outputs: {out1: home-line}, at: floor-b}}\nconnect: [keys/out1 -> interface/in3]", patch.Patch{})
	p, _ := planned(t, "connect: [interface/out1 -> interface/in3]", patch.Patch(before.Target))
	if !p.Given || len(p.Target.Leads) != 0 {
		t.Errorf("after the guest has gone: %s (%v)", target(p), p.Missing)
	}
	pulls := slices.ContainsFunc(p.Moves, func(m plan.Move) bool { return m.Do == plan.PullLead })
	if !pulls || len(p.Steps) < len(p.Moves) {
		t.Errorf("the steps are %+v", p.Steps)
	}
}

// While a lead is in the socket at the front, the input at the rear hears
// nothing, so no plan that needs the input leaves it there.
func TestFrontSocketIsFreed(t *testing.T) {
	lead := patch.Patch{Leads: []patch.Lead{{Port: point(t, "interface/front1"), Jack: point(t, "main/t5")}}}
	p, _ := planned(t, "connect: [interface/out1 -> interface/in1]", lead)
	if !p.Given || len(p.Target.Leads) != 0 {
		t.Errorf("a lead stays in the socket: %s (%v)", target(p), p.Missing)
	}
	p, _ = planned(t, "connect: [interface/out1 -> interface/front1]", patch.Patch{})
	if !p.Given || len(p.Target.Leads) != 1 {
		t.Errorf("nothing comes to the socket: %s (%v)", target(p), p.Missing)
	}
}

// What is switched together is planned together, and a session that would part
// it cannot be given.
func TestOutputsGoTogether(t *testing.T) {
	for _, c := range []struct {
		wants string
		given bool
		want  string
	}{
		{"tape/out1-2 -> deck/in1-2", true, "patch: crosspoints: grid: out1: in1 out2: in2"},
		{"tape/out3 -> deck/in2", false, ""}, // then in1 would hear tape/out2, which nobody asked for
		{"tape/out2 -> deck/in1, tape/out3 -> deck/in2", true, "patch: crosspoints: grid: out1: in2 out2: in3"},
		{"tape/out1 -> deck/in1, tape/out3 -> deck/in2", false, ""},
		{"tape/out3 -> deck/in1, tape/out4 -> deck/in2", false, ""}, // in4 x out2 does not exist
		{"tape/out3 -> speakers/in2", true, "patch: crosspoints: grid: out4: in3"},
	} {
		p, _ := planned(t, "connect: ["+c.wants+"]", patch.Patch{})
		if p.Given != c.given || c.given && target(p) != c.want {
			t.Errorf("%s: given %v, %s, want %v, %s", c.wants, p.Given, target(p), c.given, c.want)
		}
	}
}

func point(t *testing.T, text string) name.Point {
	t.Helper()
	p, err := name.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// One step switches both, when they open and when they close.
func TestOutputsAreSwitchedInOneStep(t *testing.T) {
	before, _ := planned(t, "connect: [tape/out1-2 -> deck/in1-2]", patch.Patch{})
	p, _ := planned(t, "connect: [tape/out2 -> deck/in1, tape/out3 -> deck/in2, tape/out1 -> speakers/in1]", patch.Patch(before.Target))
	if !p.Given {
		t.Fatal(p.Missing)
	}
	for _, s := range p.Steps {
		outputs := map[string]bool{}
		for _, c := range s.Crosspoints {
			outputs[c.Output.Port()] = true
		}
		if outputs["out1"] != outputs["out2"] {
			t.Errorf("a step parts what is switched together: %+v", s)
		}
	}
	if !slices.ContainsFunc(p.Steps, func(s plan.Step) bool { return s.Do == plan.Switch }) {
		t.Errorf("nothing is switched: %+v", p.Steps)
	}
}
