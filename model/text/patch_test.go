package text_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/model/text"
)

func TestPatchIsRead(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	p, places, problems := text.ReadPatch("present.yaml", read(t, "testdata/ok/boathouse/present.yaml"), s)
	if problems != nil {
		t.Fatal(problems)
	}
	at := func(text string) name.Point { return point(t, text) }
	want := patch.Patch{
		Cords: []patch.Cord{
			{A: at("main/b12")},
			{A: at("main/t1"), B: at("main/b25")},
			{A: at("main/t2"), B: at("main/b9"), Length: 600 * measure.Millimetre, Poles: 2},
			{A: at("main/t5"), B: at("main/b33")},
			{A: at("main/t6"), B: at("main/b34")},
		},
		Leads:   []patch.Lead{{Port: at("recorder/in1"), Jack: at("main/t40")}, {Port: at("synth/out1"), Jack: at("main/b3")}},
		Dummies: []name.Point{at("main/b4")},
		Crosspoints: []patch.Crosspoint{
			{Output: at("grid/out1"), Input: at("grid/in5")}, {Output: at("grid/out1"), Input: at("grid/in6")},
			{Output: at("grid/out2"), Input: at("grid/in7")}, {Output: at("grid/out3"), Input: at("grid/in8")},
			{Output: at("grid/out5"), Input: at("grid/in9")}, {Output: at("grid/out6"), Input: at("grid/in9")},
			{Output: at("shade/out1"), Input: at("shade/in1")},
		},
	}
	if diff := cmp.Diff(want, p); diff != "" {
		t.Errorf("patch (-want +got):\n%s", diff)
	}
	if place, _ := places.Of("patch.cords[1]"); place.Line != 2 || place.Column != 31 {
		t.Errorf("the second cord is at %v", place)
	}
}

func TestPlansAreReadAsPatches(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	whole, _, problems := text.ReadPatch("plan.json", read(t, "testdata/ok/boathouse/present-plan.yaml"), s)
	if problems != nil || len(whole.Cords) != 1 || whole.Cords[0].Length != 300*measure.Millimetre || len(whole.Crosspoints) != 2 {
		t.Errorf("a plan is read as %+v (%v)", whole, problems)
	}
	target, _, problems := text.ReadPatch("target.json", read(t, "testdata/ok/boathouse/present-target.yaml"), s)
	if problems != nil || len(target.Cords) != 2 || len(target.Leads) != 1 {
		t.Errorf("the patch of a plan is read as %+v (%v)", target, problems)
	}
}

// A session's file in which a patch is kept is read as that patch; one without is told to be a
// session's, once.
func TestSessionsAreReadAsTheirPatches(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	present := string(read(t, "testdata/ok/boathouse/present.yaml"))
	want, _, _ := text.ReadPatch("present.yaml", []byte(present), s)
	const of = "session: Tern Quartet\nconnect: [interface/out1 -> interface/in1]\n"
	got, _, problems := text.ReadPatch("tern.yaml", []byte(of+present), s)
	if diff := cmp.Diff(want, got); diff != "" || problems != nil {
		t.Errorf("patch (-want +got):\n%s%v", diff, problems)
	}
	_, _, problems = text.ReadPatch("tern.yaml", []byte(of), s)
	if len(problems) != 1 || problems[0].Message != "this is the file of a session in which no patch is kept" || problems[0].Line != 1 {
		t.Errorf("%v is said of a session without a patch", problems)
	}
}

// drawPatch makes a patch that the boathouse could be in.
func drawPatch(t *rapid.T) patch.Patch {
	var jacks []name.Point
	for _, bay := range []struct {
		name  string
		pairs int
	}{{"main", 48}, {"far", 8}} {
		for n := range bay.pairs {
			jacks = append(jacks, name.At(bay.name, "t", n+1), name.At(bay.name, "b", n+1))
		}
	}
	seed := rapid.Uint64().Draw(t, "seed")
	rand.New(rand.NewPCG(seed, 0)).Shuffle(len(jacks), func(i, j int) { jacks[i], jacks[j] = jacks[j], jacks[i] })
	take := func() name.Point {
		jack := jacks[0]
		jacks = jacks[1:]
		return jack
	}
	var p patch.Patch
	for range rapid.IntRange(0, 12).Draw(t, "cords") {
		c := patch.Cord{A: take()}
		if rapid.IntRange(0, 4).Draw(t, "loose") > 0 {
			c.B = take()
		}
		c.Length = measure.Length(rapid.IntRange(0, 3).Draw(t, "length")) * 79375 * measure.Micrometre / 10
		c.Poles = rapid.SampledFrom([]int{0, 2, 3}).Draw(t, "poles")
		p.Cords = append(p.Cords, c)
	}
	if rapid.Bool().Draw(t, "lead") {
		p.Leads = append(p.Leads, patch.Lead{Port: name.At("synth", "out", 1), Jack: take()})
	}
	for range rapid.IntRange(0, 10).Draw(t, "dummies") {
		p.Dummies = append(p.Dummies, take())
	}
	for out := range rapid.IntRange(0, 8).Draw(t, "outputs") {
		for in := range rapid.IntRange(0, 2).Draw(t, "inputs") {
			p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: name.At("grid", "out", out+1), Input: name.At("grid", "in", 5+in)})
		}
	}
	p.Sort()
	return p
}

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	rapid.Check(t, func(t *rapid.T) {
		p := drawPatch(t)
		written := text.WritePatch(p)
		back, _, problems := text.ReadPatch("patch.yaml", written, s)
		if problems != nil {
			t.Fatalf("%v\n%s", problems, written)
		}
		if diff := cmp.Diff(p, back); diff != "" {
			t.Fatalf("(-want +got):\n%s\n%s", diff, written)
		}
	})
}

// The form in which plans print patches is read back as well.
func TestTargetsAreReadBack(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	rapid.Check(t, func(t *rapid.T) {
		p := drawPatch(t)
		printed, err := plan.Target(p).MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		back, _, problems := text.ReadPatch("patch.json", printed, s)
		if problems != nil {
			t.Fatalf("%v\n%s", problems, printed)
		}
		if diff := cmp.Diff(p, back); diff != "" {
			t.Fatalf("(-want +got):\n%s", diff)
		}
	})
}

func TestEmptyPatch(t *testing.T) {
	s := &studio.Studio{Name: "x"}
	if got := string(text.WritePatch(patch.Patch{})); got != "patch: {}\n" {
		t.Errorf("an empty patch is written as %q", got)
	}
	for _, src := range []string{"patch: {}", "patch:\n", "patch: {cords: [], crosspoints: {}}", "cords: []", `{"patch": {"cords": [], "leads": [], "dummies": [], "crosspoints": {}}, "steps": []}`} {
		p, _, problems := text.ReadPatch("p", []byte(src), s)
		if problems != nil || len(p.Plugs())+len(p.Crosspoints) > 0 {
			t.Errorf("%s is read as %v (%v)", src, p, problems)
		}
	}
}

const kept = "# a session\r\nsession: Möwe   # the title\r\npatch:   # written by the program\r\n  cords: [main/t2 - main/b2]  # old\r\n  dummies:\r\n  - main/b9\r\n\r\n# after\r\nnotes: |\r\n  patch: not this\r\n...\r\n"

func TestKeepPatch(t *testing.T) {
	p := patch.Patch{Cords: []patch.Cord{{A: name.At("main", "t", 1), B: name.At("main", "b", 25)}}}
	written := "patch:\n  cords:\n    - main/t1 - main/b25\n"
	for _, test := range []struct{ name, src, want string }{
		{"appended", "session: x\n", "session: x\n" + written},
		{"without a line end", "session: x", "session: x\n" + written},
		{"before the end of the document", "session: x\n...\n", "session: x\n" + written + "...\n"},
		{"behind comments", "session: x\n# end\n", "session: x\n# end\n" + written},
		{"replaced in one line", "patch: {}\nsession: x\n", written + "session: x\n"},
		{"replaced over lines", "session: x\npatch:\n  cords:\n  - main/t2 - main/b2\n  # gone\n  - main/t3 - main/b3\n# kept\n\nnotes: y\n", "session: x\n" + written + "# kept\n\nnotes: y\n"},
		{"replaced in brackets over lines", "patch: {cords: [main/t2 - main/b2,\n  main/t3 - main/b3\n]}\nsession: x\n", written + "session: x\n"},
		{"indented", "  session: x\n  notes: y\n", "  session: x\n  notes: y\n  patch:\n    cords:\n      - main/t1 - main/b25\n"},
		{"a comment behind braces", "patch: {cords: [main/t2 - main/b2]}  # mine\nsession: x\n", "patch:  # mine\n  cords:\n    - main/t1 - main/b25\nsession: x\n"},
		{"a key in quotes", "\"patch\": {}\nsession: x\n", written + "session: x\n"},
		{"a byte order mark", "\ufeffpatch: {}\nsession: x\n", "\ufeff" + written + "session: x\n"},
		{"the same", "session: x\npatch: {cords: [ main/t1 - main/b25 ]}  # mine\n", "session: x\npatch: {cords: [ main/t1 - main/b25 ]}  # mine\n"},
		{"everything", kept, strings.NewReplacer("  cords: [main/t2 - main/b2]  # old\r\n  dummies:\r\n  - main/b9\r\n", "  cords:\r\n    - main/t1 - main/b25\r\n").Replace(kept)},
	} {
		got, err := text.KeepPatch([]byte(test.src), p)
		if err != nil || string(got) != test.want {
			t.Errorf("%s: got\n%q, want\n%q (%v)", test.name, got, test.want, err)
		}
	}
}

func TestKeepPatchLeavesWhatItCannotChange(t *testing.T) {
	for _, src := range []string{
		"", "# nothing\n", "- a\n", "{session: x}\n", "session: [\n", "session: x\nsession: y\n",
		"session: &a x\npatch: &b {cords: []}\nnotes: *b\n",
		"? patch\n: {cords: []}\nsession: x\n",
	} {
		got, err := text.KeepPatch([]byte(src), patch.Patch{Dummies: []name.Point{name.At("main", "b", 1)}})
		if err == nil {
			t.Errorf("%q became %q", src, got)
		}
	}
}

func TestKeepPatchTwiceIsOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := drawPatch(t), drawPatch(t)
		src := []byte(rapid.SampledFrom([]string{"session: x\n", kept, "patch: {}\nsession: x # y\nconnect:\n- a/out1 -> b/in1"}).Draw(t, "file"))
		once, err := text.KeepPatch(src, p)
		if err != nil {
			t.Fatal(err)
		}
		twice, err := text.KeepPatch(once, p)
		if err != nil || string(twice) != string(once) {
			t.Fatalf("the second time it is\n%s, the first\n%s (%v)", twice, once, err)
		}
		changed, err := text.KeepPatch(once, q)
		if err != nil {
			t.Fatal(err)
		}
		straight, err := text.KeepPatch(src, q)
		if err != nil || string(changed) != string(straight) {
			t.Fatalf("by way of another patch it is\n%q, straight\n%q (%v)", changed, straight, err)
		}
	})
}
