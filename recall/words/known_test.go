package words

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

var readAt = time.Date(2026, 3, 4, 9, 20, 0, 0, time.Local)

// knownAt is a crosspoint of a matrix, input none where it is open.
func knownAt(t testing.TB, how keep.How, output, input string) keep.KnownCrosspoint {
	t.Helper()
	c := keep.KnownCrosspoint{Output: at(t, output)[0], Fact: keep.Fact{How: how, Since: readAt}}
	if input != "" {
		c.Input = at(t, input)[0]
	}
	return c
}

// How a matrix is doing is never more than is known: that it has no read-back is known
// once it has answered.
func TestMatrix(t *testing.T) {
	for _, c := range []struct {
		matrix keep.MatrixStatus
		want   string
	}{
		{keep.MatrixStatus{}, "switched by hand (no device:)"},
		{keep.MatrixStatus{Driven: true, Problem: keep.NotChecked}, "not checked yet"},
		{keep.MatrixStatus{Driven: true, Answers: true, ReadsBack: true}, "online"},
		{keep.MatrixStatus{Driven: true, Answers: true}, "online, no read-back"},
		{keep.MatrixStatus{Driven: true, ReadsBack: true, Problem: "no answer in 2s"}, "no answer"},
		{keep.MatrixStatus{Driven: true, Problem: "no answer in 2s"}, "no answer"},
	} {
		if got := Matrix(c.matrix); got != c.want {
			t.Errorf("%+v is %q, want %q", c.matrix, got, c.want)
		}
	}
}

func TestMatrixLines(t *testing.T) {
	grid := keep.MatrixStatus{Name: "grid", Driven: true}
	all := []keep.KnownCrosspoint{
		knownAt(t, keep.Read, "grid/out1", "grid/in3"), knownAt(t, keep.Read, "grid/out2", "grid/in4"),
		knownAt(t, keep.Read, "grid/out3", ""), knownAt(t, keep.Read, "grid/out4", "grid/in4"),
		knownAt(t, keep.Assumed, "grid/out5", ""),
		knownAt(t, keep.NotKnown, "grid/out6", "grid/in1"), knownAt(t, keep.NotKnown, "grid/out6", "grid/in2"),
		knownAt(t, keep.Read, "shade/out1", "shade/in1"),
	}
	want := []string{
		"grid: not checked yet", "grid: in3-4 -> out1-2, in4 -> out4 (read back)", "grid: out5 off (assumed)",
		"grid: out6 switching, unknown until read",
	}
	if diff := cmp.Diff(want, In(nil).MatrixLines(grid, all)); diff != "" {
		t.Error(diff)
	}
}

// A matrix is called by its label wherever people read of it, as its steps call it.
func TestMatrixByItsLabel(t *testing.T) {
	w := In(&studio.Studio{Matrices: []studio.Matrix{{Name: "grid", Label: "relay matrix", Inputs: 4, Outputs: 4}}})
	grid := keep.MatrixStatus{Name: "grid", Driven: true, Answers: true}
	want := []string{"relay matrix: in3 -> out1 (read back)"}
	if diff := cmp.Diff(want, w.MatrixLines(grid, []keep.KnownCrosspoint{knownAt(t, keep.Read, "grid/out1", "grid/in3")})); diff != "" {
		t.Error(diff)
	}
	s := keep.Status{Phase: keep.Waiting, Matrices: []keep.MatrixStatus{grid}, Left: []plan.Step{{By: "grid", Do: plan.Switch}}}
	if got := w.Standing(s); got != "waiting for relay matrix" {
		t.Errorf("it is %q", got)
	}
	if s.Phase = keep.Given; w.Standing(s) != "sent, not confirmed: relay matrix has no read-back" {
		t.Errorf("it is %q", w.Standing(s))
	}
	s.Matrices = []keep.MatrixStatus{{Name: "grid", Driven: true, ReadsBack: true}}
	if got := w.Standing(s); got != "ready when last checked; relay matrix is not checked yet" {
		t.Errorf("without anybody who asked it, it is %q", got)
	}
}

func TestBayLinesAndFacts(t *testing.T) {
	told := keep.Fact{How: keep.Told, Since: readAt, Who: "ann"}
	k := keep.Known{
		Cords: []keep.KnownCord{
			{Cord: patch.Cord{A: at(t, "main/t1")[0], B: at(t, "far/b2")[0]}, Number: 7, Fact: told},
			{Cord: patch.Cord{A: at(t, "main/t2")[0]}, Fact: told},
		},
		Leads:       []keep.KnownLead{{Lead: patch.Lead{Port: at(t, "organ/out1")[0], Jack: at(t, "main/b3")[0]}, Fact: told}},
		Dummies:     []keep.KnownDummy{{Jack: at(t, "main/b9")[0], Fact: keep.Fact{How: keep.Assumed}}},
		Crosspoints: []keep.KnownCrosspoint{knownAt(t, keep.Read, "grid/out1", "grid/in3"), knownAt(t, keep.Read, "grid/out2", "")},
	}
	want := []string{
		"in the bay: main 1 top - Far wall b2, main 2 top loose, gear cable organ left - main 3 bottom (reported)",
		"in the bay: dummy plug in main 9 bottom (assumed)", "faulty: main 4 top",
	}
	if diff := cmp.Diff(want, room(t).BayLines(keep.Status{Known: k, Tags: []keep.Tag{{Jack: at(t, "main/t4")[0]}}})); diff != "" {
		t.Error(diff)
	}
	facts := []Fact{
		{"cord 7, main/t1 - far/b2", "reported by ann", "2026-03-04 09:20"}, {"cord main/t2 loose", "reported by ann", "2026-03-04 09:20"},
		{"gear cable organ/out1 - main/b3", "reported by ann", "2026-03-04 09:20"}, {"dummy plug in main/b9", "assumed", ""},
		{"grid: in3 -> out1", "read back", "2026-03-04 09:20"}, {"grid: out2 off", "read back", "2026-03-04 09:20"},
	}
	if diff := cmp.Diff(facts, Facts(k)); diff != "" {
		t.Error(diff)
	}
}

func TestBeginning(t *testing.T) {
	cord := keep.KnownCord{Cord: patch.Cord{A: name.Point{}, B: name.Point{}}, Fact: keep.Fact{How: keep.Told, Since: readAt}}
	lone := cord
	lone.Fact = keep.Fact{How: keep.Assumed}
	for _, c := range []struct {
		known keep.Known
		told  bool
		want  string
	}{
		{keep.Known{}, false, "The steps begin at the rest patch: nothing is reported in the bay."},
		{keep.Known{}, true, "The steps begin at the patch that is in (in the bay: nothing, reported)."},
		{keep.Known{Cords: []keep.KnownCord{cord}}, true, "The steps begin at the patch that is in since 2026-03-04 09:20 (in the bay: reported)."},
		{keep.Known{Cords: []keep.KnownCord{lone, cord, cord}}, true, "The steps begin at the patch that is in since 2026-03-04 09:20 (in the bay: 2 reported, 1 assumed)."},
		{
			keep.Known{Crosspoints: []keep.KnownCrosspoint{knownAt(t, keep.Read, "grid/out1", "grid/in1")}}, false,
			"The steps begin at the patch that is in since 2026-03-04 09:20 (in the bay: the rest patch, assumed; switched: read back).",
		},
	} {
		if got := Beginning(c.known, c.told); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
