package bench

import (
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/words"
	"bayhand/simulators/rooms"
)

func heron(t testing.TB) *studio.Studio {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "..", "..", "cmd", "bayhand", "demo", "heron", "studio.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, _, problems := text.ReadStudio("studio.yaml", src)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return s
}

func at(t testing.TB, text string) name.Point {
	t.Helper()
	p, err := name.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// do carries out acts in words: "plug main/t1 main/b25", "mode main/t1 normal".
func do(t testing.TB, of *studio.Studio, s Setup, acts ...string) Setup {
	t.Helper()
	for _, act := range acts {
		word := strings.Fields(act)
		a := at(t, word[1])
		var err error
		switch word[0] {
		case "plug":
			s, err = s.Plug(of, a, at(t, word[2]))
		case "move":
			s, err = s.Move(of, a, at(t, word[2]))
		case "dummy":
			s, err = s.Dummy(of, a)
		case "pull":
			s, err = s.Pull(of, a)
		case "mode":
			s, err = s.Turn(of, a, ModeCalled(word[2]))
		case "cross":
			s, err = s.Cross(of, a, at(t, word[2]))
		default:
			t.Fatalf("%q is no act", act)
		}
		if err != nil {
			t.Fatalf("%s: %v", act, err)
		}
	}
	return s
}

// The trade's table of modes (common practice, no published source): which plug
// breaks which normal.
func TestModesOnTheBench(t *testing.T) {
	of := heron(t)
	top, bottom := "dummy main/t1", "dummy main/b1"
	for _, test := range []struct {
		mode  string
		acts  []string
		holds bool
	}{
		{"normal", nil, true}, {"normal", []string{top}, false}, {"normal", []string{bottom}, false},
		{"half-normal", []string{top}, true}, {"half-normal", []string{bottom}, false},
		{"half-normal-top", []string{top}, false}, {"half-normal-top", []string{bottom}, true},
		{"isolated", nil, false}, {"parallel", []string{top, bottom}, true},
	} {
		s := do(t, of, Setup{}, append([]string{"mode main/t1 " + test.mode}, test.acts...)...)
		a := Hear(of, s, Setup{})
		if got := len(a.State.Hears(at(t, "desk/in1"))) == 1; got != test.holds {
			t.Errorf("%s with %v: desk in 1 hears something is %v", test.mode, test.acts, got)
		}
	}
}

func TestAnswer(t *testing.T) {
	of := heron(t)
	s := do(t, of, Setup{}, "plug main/t25 main/b1", "plug main/t1 main/b27")
	a := Hear(of, s, Setup{})
	var changed []string
	for _, c := range a.Changed {
		changed = append(changed, c.Destination.String())
	}
	if want := []string{"desk/in1", "shaper/in1"}; !slices.Equal(changed, want) {
		t.Errorf("changed are %v, want %v", changed, want)
	}
	want := []Broken{{"main", 1, []name.Point{at(t, "main/b1")}}}
	if !reflect.DeepEqual(a.Broken, want) {
		t.Errorf("broken are %v, want %v", a.Broken, want)
	}
	if len(a.Says) > 0 {
		t.Errorf("a sound patch, and a rule says %v", a.Says)
	}
	s = do(t, of, s, "mode main/t1 parallel")
	a = Hear(of, s, Setup{})
	if len(a.Joined) != 1 || !slices.ContainsFunc(a.Says, func(f Said) bool { return f.Code == "outputs-joined" && f.Manual != "" && f.Severity == text.Error }) {
		t.Errorf("two outputs on a parallel pair: joined %v, said %v", a.Joined, a.Says)
	}
	// A pair of quarter-inch jacks in another room: no cord reaches.
	a = Hear(of, do(t, of, Setup{}, "plug main/t1 far/b1"), Setup{})
	if !slices.ContainsFunc(a.Says, func(f Said) bool { return f.Code == "cord-too-short" }) {
		t.Errorf("no rule says that no cord reaches: %v", a.Says)
	}
	// Out of a compressor into itself.
	a = Hear(of, do(t, of, Setup{}, "mode main/t29 isolated", "plug main/t31 main/b29"), Setup{})
	if len(a.Loops) > 0 != slices.ContainsFunc(a.Says, func(f Said) bool { return strings.Contains(f.Code, "loop") }) {
		t.Errorf("loops %v, said %v", a.Loops, a.Says)
	}
}

// What the room may hold at a box can stand on the bench, by its address.
func TestSocketsOfBoxes(t *testing.T) {
	of, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: A floor box
gear:
  synth: {outputs: {out1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
bays: {main: {pairs: 2, modes: isolated}}
boxes: {floor: {jacks: 2, jack: quarter-inch}}
wiring:
  - floor/1-2 -> main/t1-2
  - main/b1 -> recorder/in1
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	s := do(t, of, Setup{}, "plug synth/out1 floor/1", "plug main/t1 main/b1")
	back, err := Read(of, s.Values())
	if err != nil || back.Values().Encode() != s.Values().Encode() {
		t.Fatalf("%v is read back as %v: %v", s.Values(), back.Values(), err)
	}
	if got := Hear(of, back, Setup{}).State.Hears(at(t, "recorder/in1")); len(got) != 1 || got[0] != at(t, "synth/out1") {
		t.Errorf("by the floor box the recorder hears %v", got)
	}
}

// The studio itself is never touched.
func TestTheStudioStays(t *testing.T) {
	of, same := heron(t), heron(t)
	s := do(t, of, Setup{}, "mode main/t1 isolated", "mode far/t5 parallel", "plug main/t1 main/b1", "cross grid/out1 grid/in9")
	Hear(of, s, Setup{})
	if !reflect.DeepEqual(of, same) {
		t.Error("the studio changed with the bench")
	}
	if got := s.Copy(of).Bays[0].Modes[0]; got != studio.Isolated {
		t.Errorf("the copy's pair is %v", got)
	}
}

func TestActsThatAreRefused(t *testing.T) {
	of := heron(t)
	of.Boxes = append(of.Boxes, studio.Box{Name: "stage", Sockets: 2})
	s := do(t, of, Setup{}, "plug main/t1 main/b25")
	for _, test := range []struct {
		what string
		err  func() error
		says string
	}{
		{"a jack that is taken", func() error { _, err := s.Plug(of, at(t, "main/t2"), at(t, "main/t1")); return err }, "main/t1 already has the cord"},
		{"one jack", func() error { _, err := s.Plug(of, at(t, "main/t2"), at(t, "main/t2")); return err }, "both its ends"},
		{"no jack", func() error { _, err := s.Plug(of, at(t, "main/t2"), at(t, "main/b99")); return err }, "no jack"},
		{"a wired port", func() error { _, err := s.Plug(of, at(t, "interface/out1"), at(t, "main/b3")); return err }, "wired at the rear"},
		{"a cord into a socket", func() error { _, err := s.Plug(of, at(t, "main/t2"), at(t, "stage/1")); return err }, "a gear cable goes in"},
		{"a dummy into a socket", func() error { _, err := s.Dummy(of, at(t, "stage/1")); return err }, "a gear cable goes in"},
		{"a cord moved into a socket", func() error { _, err := s.Move(of, at(t, "main/t1"), at(t, "stage/1")); return err }, "a gear cable goes in"},
		{"nothing to pull", func() error { _, err := s.Pull(of, at(t, "main/t3")); return err }, "no plug"},
		{"onto its own other end", func() error { _, err := s.Move(of, at(t, "main/t1"), at(t, "main/b25")); return err }, "other end of this cord"},
		{"no crosspoint", func() error { _, err := s.Cross(of, at(t, "grid/out1"), at(t, "shade/in1")); return err }, "no crosspoint"},
		{"no mode", func() error { _, err := s.Turn(of, at(t, "main/t1"), ModeCalled("open")); return err }, "a mode is"},
	} {
		if err := test.err(); err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%s: %v, want %q", test.what, err, test.says)
		}
	}
	moved := do(t, of, s, "move main/b25 main/b3", "move main/t1 main/t2")
	if want := []patch.Cord{{A: at(t, "main/b3"), B: at(t, "main/t2")}}; !reflect.DeepEqual(moved.Patch.Cords, want) && !moved.Patch.Cords[0].Same(want[0]) {
		t.Errorf("moved is %v", moved.Patch.Cords)
	}
	if other := do(t, of, s, "plug main/t4 main/b4", "pull main/t1", "plug main/t9 main/b9"); !slices.Equal(other.Marks, []int{1, 0}) {
		t.Errorf("a cord that stays is renumbered, or a free number not taken: %v", other.Marks)
	}
	led := do(t, of, s, "plug organ/out1 far/b5")
	if len(led.Patch.Leads) != 1 || led.In(at(t, "far/b5")) == nil {
		t.Errorf("the organ's lead is %v", led.Patch.Leads)
	}
}

// What an address says is read back as it was, whatever hands did.
func TestSetupsPrintAndRead(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		room := rooms.Draw(rapid.Uint64().Draw(rt, "seed"))
		s, err := Begin(room.Patch)
		if err != nil {
			rt.Skip(err)
		}
		for _, b := range room.Studio.Bays {
			if mode := rapid.SampledFrom(Modes).Draw(rt, "mode"); b.Pairs() > 0 {
				if s, err = s.Turn(room.Studio, b.TopJack(1), mode); err != nil {
					rt.Fatal(err)
				}
			}
		}
		parsed, err := url.ParseQuery(s.Values().Encode())
		if err != nil {
			rt.Fatal(err)
		}
		back, err := Read(room.Studio, parsed)
		if err != nil {
			rt.Skip(err) // a patch that no hand could have made on this studio
		}
		if back.Values().Encode() != s.Values().Encode() {
			rt.Fatalf("%v is read back as %v", s.Values(), back.Values())
		}
		// What stands on the bench is heard as the same patch in the room is.
		bare := s
		bare.Modes = nil
		want, got := heard.NewRoom(room.Studio).Hear(room.Patch), Hear(room.Studio, bare, bare).State
		for _, g := range room.Studio.Gear {
			for _, p := range g.Ports {
				if !slices.Equal(want.Hears(p.Point), got.Hears(p.Point)) {
					rt.Fatalf("%s hears %v in the room and %v on the bench", p.Point, want.Hears(p.Point), got.Hears(p.Point))
				}
			}
		}
	})
}

func FuzzRead(f *testing.F) {
	of := heron(f)
	f.Add("cords=1~main/t1~main/b25,main/t3&dummies=main/b4&leads=organ/out1~far/b5&modes=main/t3~isolated&points=grid/out1~grid/in5")
	f.Fuzz(func(t *testing.T, query string) {
		q, err := url.ParseQuery(query)
		if err != nil {
			return
		}
		s, err := Read(of, q)
		if err != nil {
			return
		}
		back, err := Read(of, s.Values())
		if err != nil || back.Values().Encode() != s.Values().Encode() {
			t.Fatalf("%q is read as %v, and that as %v: %v", query, s.Values(), back.Values(), err)
		}
	})
}

// Every lesson can be done on the demo's studio, in its order, and no task is
// done before it is.
func TestLessonsCanBeDone(t *testing.T) {
	of := heron(t)
	done := map[string][][]string{
		"normal":          {{"dummy main/t1"}, {"pull main/t1", "plug main/t25 main/b1"}},
		"half-normal":     {{"plug main/t1 main/b27"}, {"plug main/t25 main/b1"}},
		"half-normal-top": {{"dummy main/t1"}, {"pull main/t1", "plug main/b1 main/b27"}},
		"isolated":        {{"plug main/t1 main/b1"}, {"pull main/t1"}},
		"parallel":        {{"plug main/b1 main/b27"}, {"pull main/b1", "plug main/t25 main/b1"}},
		"fault-joined":    {{"plug main/t1 main/t25"}, {"pull main/t1"}},
		"fault-tap":       {{"plug main/b1 main/b27"}, {"pull main/b1", "plug main/t1 main/b27"}},
		"fault-turned":    {{"plug main/t1 main/b27"}, {"pull main/t1", "plug main/b1 main/b27"}},
		"fault-forgotten": {{"pull main/b1"}},
		"fault-mixed":     {{"pull main/b1"}},
		"crosspoint":      {{"cross grid/out2 grid/in9"}, {"cross grid/out2 grid/in10"}},
	}
	lessons := Lessons(of, words.In(of))
	if len(lessons) != len(done) {
		t.Errorf("%d lessons, want %d", len(lessons), len(done))
	}
	for _, l := range lessons {
		s := l.Begin
		for i, task := range l.Tasks {
			if task.Done(s, Hear(of, s, l.Begin).State) {
				t.Errorf("%s: task %d is done before anything is: %s", l.Name, i+1, task.Ask)
			}
			if i >= len(done[l.Name]) {
				t.Fatalf("%s: nobody does task %d: %s", l.Name, i+1, task.Ask)
			}
			s = do(t, of, s, done[l.Name][i]...)
			if !task.Done(s, Hear(of, s, l.Begin).State) {
				t.Errorf("%s: task %d is not done by %v: %s", l.Name, i+1, done[l.Name][i], task.Ask)
			}
			if strings.HasPrefix(l.Name, "fault-") != (task.Answer != "") {
				t.Errorf("%s: the answer is %q; a fault is asked for, and how is not said before", l.Name, task.Answer)
			}
			if strings.Contains(task.Ask+task.So+task.Answer+l.About, "{") {
				t.Errorf("%s: a place is not filled in: %s %s", l.Name, task.Ask, task.So)
			}
		}
	}
	if none := Lessons(&studio.Studio{}, words.In(nil)); len(none) > 0 {
		t.Errorf("an empty studio has %d lessons", len(none))
	}
}

func BenchmarkHear(b *testing.B) {
	of := heron(b)
	s := do(b, of, Setup{}, "plug main/t25 main/b1", "plug main/t1 main/b27")
	for b.Loop() {
		Hear(of, s, Setup{})
	}
}
