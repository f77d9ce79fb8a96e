package keep

import (
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

func outp(n int) name.Point { return name.At("grid", "out", n) }
func inp(n int) name.Point  { return name.At("grid", "in", n) }

func grid() studio.Matrix {
	return studio.Matrix{Name: "grid", Inputs: 3, Outputs: 2, Device: &studio.Device{Link: "tcp:x:1"},
		Missing: []studio.Absent{{Output: outp(1), Input: inp(3)}}}
}

func sw(id, by string, output, input int, after ...string) plan.Step {
	c := plan.Change{Output: name.At(by, "out", output)}
	if input > 0 {
		c.Input = name.At(by, "in", input)
	}
	return plan.Step{ID: id, By: by, Do: plan.Switch, Crosspoints: []plan.Change{c}, After: after}
}

func hand1(id string, after ...string) plan.Step {
	return plan.Step{ID: id, By: plan.Person, Do: plan.Plug, Ends: []name.Point{name.At("main", "t", 1), name.At("main", "b", 1)}, After: after}
}

func list(steps []plan.Step) string {
	var all []string
	for _, s := range steps {
		all = append(all, s.ID)
	}
	return strings.Join(all, " ")
}

func TestNext(t *testing.T) {
	s := &studio.Studio{Matrices: []studio.Matrix{grid(), {Name: "far", Inputs: 2, Outputs: 2, Device: &studio.Device{}}, {Name: "hand", Inputs: 2, Outputs: 2}}}
	done := func(ids ...string) []DoneStep {
		var all []DoneStep
		for _, id := range ids {
			all = append(all, DoneStep{Step: plan.Step{ID: id}})
		}
		return all
	}
	known := func(how How, output, input int) Known {
		var k Known
		k.set(outp(output), []name.Point{inp(input)}, Fact{How: how})
		return k
	}
	for _, c := range []struct {
		what                  string
		in                    Intent
		known                 Known
		shown, device, person string
	}{
		{"nothing", Intent{}, Known{}, "", "", ""},
		{"both at once", Intent{Left: []plan.Step{sw("1", "grid", 1, 1), hand1("2")}}, Known{}, "", "1", "2"},
		{"a switch that waits for a cord", Intent{Left: []plan.Step{hand1("1"), sw("2", "grid", 1, 1, "1")}}, Known{}, "", "", "1"},
		{"after the cord", Intent{Left: []plan.Step{sw("2", "grid", 1, 1, "1")}, Done: done("1")}, Known{}, "", "2", ""},
		{"two for one device", Intent{Left: []plan.Step{sw("1", "grid", 1, 1), sw("2", "grid", 2, 1)}}, Known{}, "", "1", ""},
		{"two devices", Intent{Left: []plan.Step{sw("1", "grid", 1, 1), sw("2", "far", 2, 1)}}, Known{}, "", "1 2", ""},
		{"a failed step holds back what comes after it", Intent{Left: []plan.Step{sw("1", "grid", 1, 1), sw("2", "grid", 2, 1, "1"), sw("3", "grid", 2, 2)},
			Failed: []Failure{{ID: "1"}}}, Known{}, "", "3", ""},
		{"read to hold", Intent{Left: []plan.Step{sw("1", "grid", 1, 2)}}, known(Read, 1, 2), "1", "", ""},
		{"sent is not read", Intent{Left: []plan.Step{sw("1", "grid", 1, 2)}}, known(Sent, 1, 2), "", "1", ""},
		{"assumed is not read", Intent{Left: []plan.Step{sw("1", "grid", 1, 2)}}, known(Assumed, 1, 2), "", "1", ""},
		{"read to hold, but not yet due", Intent{Left: []plan.Step{hand1("1"), sw("2", "grid", 1, 2, "1")}}, known(Read, 1, 2), "", "", "1"},
		{"off", Intent{Left: []plan.Step{sw("1", "grid", 1, 0)}}, known(Read, 1, 2), "", "1", ""},
		{"no device", Intent{Left: []plan.Step{sw("1", "hand", 1, 1)}}, Known{}, "", "", "1"},
		{"no such matrix", Intent{Left: []plan.Step{sw("1", "gone", 1, 1)}}, Known{}, "", "1", ""},
	} {
		d := next(s, c.in, c.known)
		if list(d.Shown) != c.shown || list(d.Device) != c.device || list(d.Person) != c.person {
			t.Errorf("%s: shown %q, device %q, person %q; want %q, %q, %q", c.what,
				list(d.Shown), list(d.Device), list(d.Person), c.shown, c.device, c.person)
		}
	}
}

func TestOrders(t *testing.T) {
	for _, c := range []struct {
		what       string
		how        How
		has        []name.Point
		step       plan.Step
		open, shut string
	}{
		{"from off", Read, nil, sw("1", "grid", 1, 1), "", "out1=in1"},
		{"from another", Read, []name.Point{inp(2)}, sw("1", "grid", 1, 1), "out1=in2", "out1=in1"},
		{"to off", Sent, []name.Point{inp(2)}, sw("1", "grid", 1, 0), "out1=in2", ""},
		{"of relays with several", Read, []name.Point{inp(1), inp(2)}, sw("1", "grid", 1, 1), "out1=in2", "out1=in1"},
		{"unknown", Assumed, []name.Point{inp(2)}, sw("1", "grid", 1, 1), "out1=in2", "out1=in1"},
		{"unknown, to off", Assumed, nil, sw("1", "grid", 2, 0), "out2=in1 out2=in2 out2=in3", ""},
	} {
		var k Known
		k.set(outp(1), c.has, Fact{How: c.how})
		open, shut := orders(grid(), c.step, k)
		if points(open) != c.open || points(shut) != c.shut {
			t.Errorf("%s: opens %q closes %q, want %q and %q", c.what, points(open), points(shut), c.open, c.shut)
		}
	}
}

func points(all []patch.Crosspoint) string {
	var texts []string
	for _, c := range all {
		texts = append(texts, c.Output.Port()+"="+c.Input.Port())
	}
	return strings.Join(texts, " ")
}

func TestDrifted(t *testing.T) {
	at := func(input int) patch.Patch {
		return patch.Patch{Crosspoints: []patch.Crosspoint{{Output: outp(1), Input: inp(input)}}}
	}
	made := &plan.Plan{Given: true}
	step := sw("1", "grid", 1, 2)
	for _, c := range []struct {
		what  string
		in    Intent
		how   How
		input int
		want  bool
	}{
		{"nothing intended", Intent{}, Read, 1, false},
		{"as it was", Intent{Plan: made, From: at(1)}, Read, 1, false},
		{"turned", Intent{Plan: made, From: at(1)}, Read, 2, true},
		{"only sent", Intent{Plan: made, From: at(1)}, Sent, 2, false},
		{"after its step", Intent{Plan: made, From: at(1), Done: []DoneStep{{Step: step}}}, Read, 2, false},
		{"turned back after its step", Intent{Plan: made, From: at(1), Done: []DoneStep{{Step: step}}}, Read, 1, true},
		{"a step of the plan before", Intent{Plan: made, From: at(1), Done: []DoneStep{{Step: step}}, Before: 1}, Read, 2, true},
		{"on its way", Intent{Plan: made, From: at(1), Left: []plan.Step{step}, Sending: []string{"1"}}, Read, 2, false},
		{"its step failed", Intent{Plan: made, From: at(1), Left: []plan.Step{step}, Failed: []Failure{{ID: "1"}}}, Read, 3, false},
		{"its step waits", Intent{Plan: made, From: at(1), Left: []plan.Step{step}}, Read, 2, true},
	} {
		var k Known
		k.set(outp(1), []name.Point{inp(c.input)}, Fact{How: c.how})
		if got := len(drifted(c.in, grid(), k, nil)) > 0; got != c.want {
			t.Errorf("%s: drifted %v", c.what, got)
		}
	}
}

// Steps that are wanted again keep their IDs, and whatever refers to them.
func TestAdoptKeepsIDs(t *testing.T) {
	first := &plan.Plan{Given: true, Steps: []plan.Step{hand1("1"), sw("2", "grid", 1, 1, "1"), sw("3", "grid", 2, 1)}, Moves: []plan.Move{{ID: "1"}}}
	in := Intent{}.adopt(first, question{first: 1})
	if in.NextID != 4 {
		t.Fatalf("the next ID is %d", in.NextID)
	}
	in.finish("3", Fact{How: Read})
	again := &plan.Plan{Given: true, Steps: []plan.Step{sw("4", "grid", 2, 3), hand1("5", "4"), sw("6", "grid", 1, 1, "4", "5")}, Moves: []plan.Move{{ID: "5"}}}
	in = in.adopt(again, question{first: in.NextID})
	if list(in.Left) != "4 1 2" || strings.Join(in.Left[2].After, " ") != "4 1" || in.Plan.Moves[0].ID != "1" {
		t.Errorf("left %s, after %v, moves %v", list(in.Left), in.Left[2].After, in.Plan.Moves)
	}
	if in.NextID != 5 || in.Before != 1 {
		t.Errorf("the next ID is %d, %d done before", in.NextID, in.Before)
	}
	if again.Steps[1].ID != "5" || again.Moves[0].ID != "5" {
		t.Error("the planner's own plan was changed")
	}
}

func TestInverse(t *testing.T) {
	start := Known{Cords: []KnownCord{{Cord: patch.Cord{A: name.At("main", "t", 1), B: name.At("main", "b", 1)}}}, Dummies: []KnownDummy{{Jack: name.At("main", "t", 2)}},
		Leads: []KnownLead{{Lead: patch.Lead{Port: name.At("synth", "out", 1), Jack: name.At("main", "t", 3)}}}}
	j := func(row string, n int) name.Point { return name.At("main", row, n) }
	for _, s := range []plan.Step{
		{Do: plan.Plug, Ends: []name.Point{j("t", 5), j("b", 5)}},
		{Do: plan.Plug, Ends: []name.Point{j("t", 5)}},
		{Do: plan.Pull, Ends: []name.Point{j("b", 1), j("t", 1)}},
		{Do: plan.MoveEnd, Ends: []name.Point{j("t", 1), j("b", 1)}, To: []name.Point{j("t", 1), j("b", 6)}},
		{Do: plan.MoveEnd, Ends: []name.Point{j("t", 1), j("b", 1)}, To: []name.Point{j("t", 1)}},
		{Do: plan.PlugDummy, Ends: []name.Point{j("t", 6)}},
		{Do: plan.PullDummy, Ends: []name.Point{j("t", 2)}},
		{Do: plan.PlugLead, Ends: []name.Point{name.At("synth", "out", 2), j("t", 7)}},
		{Do: plan.PullLead, Ends: []name.Point{name.At("synth", "out", 1), j("t", 3)}},
	} {
		k := start.clone()
		if err := k.put(s, Fact{}); err != nil {
			t.Errorf("%s: %v", s.Do, err)
			continue
		}
		if samePatch(k.Patch(), start.Patch()) {
			t.Errorf("%s %v does nothing", s.Do, s.Ends)
		}
		back, ok := inverse(s)
		if err := k.put(back, Fact{}); !ok || err != nil || !samePatch(k.Patch(), start.Patch()) {
			t.Errorf("%s %v taken back: %v, %+v", s.Do, s.Ends, err, k.Patch())
		}
	}
}

// A step that makes no sense is an error and changes nothing.
func TestPutRefuses(t *testing.T) {
	for _, s := range []plan.Step{
		{Do: plan.Plug}, {Do: plan.PlugDummy}, {Do: plan.PlugLead, Ends: []name.Point{name.At("main", "t", 1)}},
		{Do: plan.MoveEnd, Ends: []name.Point{name.At("main", "t", 1)}}, {Do: plan.Pull, Ends: []name.Point{name.At("main", "t", 1)}},
	} {
		var k Known
		if err := k.put(s, Fact{}); err == nil || len(k.Cords)+len(k.Dummies)+len(k.Leads) > 0 {
			t.Errorf("%s %v: %v, %+v", s.Do, s.Ends, err, k)
		}
	}
}
