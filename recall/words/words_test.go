package words

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

func at(t testing.TB, texts ...string) []name.Point {
	t.Helper()
	var all []name.Point
	for _, text := range texts {
		p, err := name.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	return all
}

func room(t testing.TB) *Words {
	t.Helper()
	p := func(s string) name.Point { return at(t, s)[0] }
	return In(&studio.Studio{
		Gear: []studio.Gear{
			{Name: "interface"},
			{Name: "squeeze", Label: "compressor"},
			{Name: "organ", Ports: []studio.Port{{Point: p("organ/out1"), Direction: studio.Output, Label: "left"}}},
			{Name: "speakers", Mute: studio.Mute{ByPerson: true, At: "monitor cut"}},
		},
		Bays: []studio.Bay{
			{Name: "main", Modes: make([]studio.Mode, 48)},
			{Name: "far", Label: "Far wall", Rows: [2]string{"a", "b"}, Modes: make([]studio.Mode, 8)},
		},
		Matrices: []studio.Matrix{{Name: "grid", Label: "the grid", Device: &studio.Device{}}},
		Wires: []studio.Wire{
			{From: p("interface/out1"), To: p("main/t1")},
			{From: p("main/b25"), To: p("squeeze/in1")},
			{From: p("grid/out1"), To: p("main/t30")},
		},
		Ties: []studio.Tie{{A: p("main/b40"), B: p("far/t1")}},
	})
}

func TestPoint(t *testing.T) {
	w := room(t)
	for text, want := range map[string]string{
		"main/t1":        "main 1 top",
		"main/b25":       "main 25 bottom",
		"far/t7":         "Far wall a7",
		"far/b7":         "Far wall b7",
		"interface/out7": "interface out 7",
		"squeeze/in1":    "compressor in 1",
		"desk/ins1.send": "desk insert 1 send",
		"deck/usb-out3":  "deck usb out 3",
		"organ/out1":     "organ left",
		"floor-a/3":      "floor-a 3",
		"grid/in5":       "the grid in 5",
		"plate":          "plate",
	} {
		if got := w.Point(at(t, text)[0]); got != want {
			t.Errorf("%s is %q, want %q", text, got, want)
		}
	}
	if got := In(nil).Point(name.Point{}); got != "nowhere" {
		t.Errorf("no point is %q", got)
	}
}

// The number of a bay and that of its jack are told apart.
func TestNumbersDoNotRunTogether(t *testing.T) {
	w := In(&studio.Studio{Bays: []studio.Bay{{Name: "bay14", Modes: make([]studio.Mode, 48)}, {Name: "far", Label: "Wall 2", Modes: make([]studio.Mode, 4)}}})
	for text, want := range map[string]string{"bay14/b21": "bay14 jack 21 bottom", "far/t3": "Wall 2 jack 3 top"} {
		if got := w.Point(at(t, text)[0]); got != want {
			t.Errorf("%s is %q, want %q", text, got, want)
		}
	}
	if got, want := w.Run(at(t, "bay14/t4")[0], 8), "bay14 jack 4 to 8 top"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestPointsAndRuns(t *testing.T) {
	w := room(t)
	if got, want := w.Points(at(t, "speakers/in1", "speakers/in2", "main/t1")), "speakers in 1, in 2 and main 1 top"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	for _, test := range []struct {
		first string
		last  int
		want  string
	}{
		{"interface/out1", 8, "interface out 1 to 8"},
		{"main/t41", 44, "main 41 to 44 top"},
		{"desk/ins1.send", 8, "desk insert 1 to 8 send"},
		{"main/t41", 41, "main 41 top"},
		{"organ/out1", 2, "organ left to out 2"},
	} {
		if got := w.Run(at(t, test.first)[0], test.last); got != test.want {
			t.Errorf("%s to %d is %q, want %q", test.first, test.last, got, test.want)
		}
	}
}

func TestCarries(t *testing.T) {
	w := room(t)
	for _, test := range []struct{ a, b, want string }{
		{"main/t1", "main/b25", "interface out 1 -> compressor in 1"},
		{"main/b25", "main/t1", "interface out 1 -> compressor in 1"},
		{"main/t1", "main/b40", "interface out 1 -> Far wall a1"},
		{"far/t1", "main/b25", "main 40 bottom -> compressor in 1"},
		{"main/t1", "main/t2", "from interface out 1"},
		{"main/t2", "main/b25", "feeds compressor in 1"},
		{"organ/out1", "main/b25", "organ left -> compressor in 1"},
		{"main/b40", "main/t2", ""},
		{"main/t2", "main/t3", ""},
	} {
		if got := w.Carries(at(t, test.a)[0], at(t, test.b)[0]); got != test.want {
			t.Errorf("%s to %s: %q, want %q", test.a, test.b, got, test.want)
		}
	}
}

func TestFlow(t *testing.T) {
	w := room(t)
	for _, test := range []struct{ a, b, want string }{
		{"main/t1", "main/b25", "main/t1"},
		{"main/b25", "main/t1", "main/t1"},
		{"main/b25", "organ/out1", "organ/out1"},
		{"main/b40", "main/t1", "main/t1"},
		{"main/b25", "main/t2", "main/t2"},
		{"main/t3", "main/t2", "main/t3"},
	} {
		a, b := at(t, test.a)[0], at(t, test.b)[0]
		from, to := w.Flow(a, b)
		if from.String() != test.want || from != a && from != b || to != a && to != b || from == to {
			t.Errorf("%s and %s: from %s to %s, want from %s", test.a, test.b, from, to, test.want)
		}
	}
}

func TestActions(t *testing.T) {
	w := room(t)
	for _, test := range []struct {
		step plan.Step
		want string
		also string
	}{
		{plan.Step{Do: plan.Plug, Ends: at(t, "main/t1", "main/b25")}, "main 1 top -> main 25 bottom", ""},
		{plan.Step{Do: plan.Plug, Ends: at(t, "main/t1")}, "main 1 top", "leave the other end loose"},
		{plan.Step{Do: plan.Pull, Ends: at(t, "main/b25", "main/t1")}, "main 25 bottom, then main 1 top", ""},
		{plan.Step{Do: plan.Pull, Ends: at(t, "main/b25")}, "main 25 bottom", ""},
		{plan.Step{Do: plan.MoveEnd, Ends: at(t, "main/t3", "main/b7"), To: at(t, "main/t3", "main/b8")}, "main 7 bottom -> main 8 bottom", "leave the other end in main 3 top"},
		{plan.Step{Do: plan.MoveEnd, Ends: at(t, "main/t3", "main/b7"), To: at(t, "main/t3")}, "main 7 bottom -> loose", "leave the other end in main 3 top"},
		{plan.Step{Do: plan.MoveEnd, Ends: at(t, "main/t3"), To: at(t, "main/t3", "main/b8")}, "the loose end -> main 8 bottom", "leave the other end in main 3 top"},
		{plan.Step{Do: plan.MoveEnd, Ends: at(t, "main/t3"), To: at(t, "main/t3")}, "main 3 top", "no change"},
		{plan.Step{Do: plan.PlugDummy, Ends: at(t, "main/b4")}, "main 4 bottom", ""},
		{plan.Step{Do: plan.PlugLead, Ends: at(t, "organ/out1", "main/b3")}, "organ left -> main 3 bottom", ""},
		{plan.Step{Do: plan.Mute, Ends: at(t, "speakers/in1", "speakers/in2")}, "speakers in 1 and in 2", "at monitor cut"},
		{plan.Step{Do: plan.PhantomOff, Ends: at(t, "desk/in1")}, "desk in 1", "wait until it has gone before you plug"},
	} {
		got := w.Action(test.step)
		if got.String() != test.want || got.Also != test.also {
			t.Errorf("%s %v: %q (%q), want %q (%q)", test.step.Do, test.step.Ends, got, got.Also, test.want, test.also)
		}
	}
}

func TestLinesWaitOnlyForWhatIsLeft(t *testing.T) {
	steps := []plan.Step{
		{ID: "2", By: "grid", Do: plan.Switch, After: []string{"1"}, Crosspoints: []plan.Change{
			{Output: at(t, "grid/out1")[0], Input: at(t, "grid/in5")[0]}, {Output: at(t, "grid/out2")[0]}}},
		{ID: "3", By: plan.Person, Do: plan.Plug, Ends: at(t, "main/t1", "main/b25"), Length: 60 * measure.Centimetre, After: []string{"1", "2"}},
	}
	got := room(t).Lines(steps)
	if got[0].By != "the grid" || got[0].Verb != "auto" || !cmp.Equal(got[0].Switching, []string{"in 5 -> out 1", "out 2 off"}) {
		t.Errorf("the matrix's line is %+v", got[0])
	}
	if len(got[0].After) != 0 || !cmp.Equal(got[1].After, []string{"2"}) {
		t.Errorf("the lines wait for %v and %v; step 1 is done", got[0].After, got[1].After)
	}
	if got[1].Length != "60 cm" || got[1].Names != "main/t1 - main/b25" {
		t.Errorf("the person's line is %+v", got[1])
	}
	if !cmp.Equal(steps[1].After, []string{"1", "2"}) {
		t.Error("the steps were changed")
	}
}

// Outputs that count on, three or more, are said in one phrase where they do the same and are
// of one line.
func TestSwitchingFolds(t *testing.T) {
	change := func(out, in int) plan.Change {
		c := plan.Change{Output: name.At("grid", "out", out)}
		if in > 0 {
			c.Input = name.At("grid", "in", in)
		}
		return c
	}
	var off []plan.Change
	for n := 17; n <= 64; n++ {
		off = append(off, change(n, 0))
	}
	w := In(&studio.Studio{Matrices: []studio.Matrix{{Name: "grid", Inputs: 64, Outputs: 64}}})
	for _, c := range []struct {
		changes []plan.Change
		want    string
	}{
		{off, "out 17-64 off"},
		{off[:2], "out 17 off, out 18 off"},
		{[]plan.Change{change(1, 9), change(2, 10), change(3, 11), change(4, 0)}, "in 9-11 -> out 1-3, out 4 off"},
		{[]plan.Change{change(1, 9), change(2, 10), change(3, 12)}, "in 9 -> out 1, in 10 -> out 2, in 12 -> out 3"},
		{[]plan.Change{change(1, 9), change(3, 10), change(5, 11)}, "in 9 -> out 1, in 10 -> out 3, in 11 -> out 5"},
		{nil, ""},
	} {
		if got := strings.Join(w.Switching(plan.Step{By: "grid", Do: plan.Switch, Crosspoints: c.changes}), ", "); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Every word that the values have must have words of its own here.
func TestEveryWordIsWorded(t *testing.T) {
	seen := map[string]bool{}
	for _, h := range []keep.How{keep.Read, keep.Measured, keep.Told, keep.Sent, keep.Assumed} {
		seen[How(h)] = true
	}
	for _, p := range []keep.Phase{keep.Idle, keep.Pushing, keep.Waiting, keep.Given, keep.Stuck} {
		seen[Phase(p)] = true
	}
	for _, d := range []plan.Do{plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.Plug, plan.Pull,
		plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead} {
		seen[Verb(d)] = true
	}
	if len(seen) != 22 || seen["unknown"] || seen[""] {
		t.Errorf("%d words for 22 values: %v", len(seen), seen)
	}
	if How("") != "unknown" || Phase("") != "unknown" {
		t.Error("what nobody knows must be said to be not known")
	}
}

// A label may hold anything; what it can do to a line is nothing.
func TestClean(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		got := Clean(rapid.String().Draw(rt, "label"))
		if strings.ContainsFunc(got, func(r rune) bool {
			return r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 || r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069
		}) {
			rt.Fatalf("%q still steers", got)
		}
		if got != Clean(got) {
			rt.Fatalf("cleaning %q again changes it", got)
		}
	})
	if got := Clean(" Große\tWand \x1b[2J\u202e\xff"); got != "Große Wand \ufffd[2J\ufffd\ufffd" {
		t.Errorf("got %q", got)
	}
}

// A matrix that no device is named for is switched by a person, and nothing says otherwise.
func TestMatrixByHand(t *testing.T) {
	s := &studio.Studio{Matrices: []studio.Matrix{{Name: "grid", Label: "the grid"}}}
	step := plan.Step{ID: "2", By: "grid", Do: plan.Switch, Crosspoints: []plan.Change{{Output: at(t, "grid/out2")[0]}}}
	l := In(s).Line(step)
	if l.By != "" || l.Verb != "switch" || l.What() != "the grid" || !cmp.Equal(l.Switching, []string{"out 2 off"}) {
		t.Errorf("the line of a matrix by hand is %+v", l)
	}
	status := keep.Status{Phase: keep.Waiting, Left: []plan.Step{step}, Matrices: []keep.MatrixStatus{{Name: "grid"}}}
	if got := In(nil).Standing(status); got != "steps to do by hand" {
		t.Errorf("a room that waits for it is said to be %q", got)
	}
	did := History([]keep.Event{{Kind: keep.StepDone, Step: &step, Text: "reported"}}, nil)
	if len(did) != 1 || strings.Contains(did[0].Text, "switches") {
		t.Errorf("its history is %+v", did)
	}
}
