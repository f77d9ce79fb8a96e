package route

import (
	"testing"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
)

const oneCord = `studio: one cord for two wants
gear: {synth: {outputs: {out1-2: pro-line}}, desk: {inputs: {in1-2: pro-line}}}
bays: {main: {pairs: 110, jack: bantam, modes: isolated}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-2 -> desk/in1-2]
cords: {stock: {30 cm: 1}}
`

// What all rounds left undone is repaired once, from a draft that lacks one of two wants; what that
// gives is the plan.
func TestWhatIsLeftIsRepaired(t *testing.T) {
	r := byhand.Read(t, oneCord, "connect: [synth/out1 -> desk/in1, synth/out2 -> desk/in2]\n", "")
	p := r.Problem(t, problem.Options{Prefer: plan.PreferFewest})
	given := &objective.Candidate{}
	asked := 0
	others := Others{Repair: func(lacking graph.Patch) *objective.Candidate {
		if asked++; len(lacking.Cords) != 1 || p.Gives(lacking) {
			t.Errorf("a draft with %v is to be repaired", p.Named(lacking))
		}
		return given
	}}
	if f, _ := Build(t.Context(), p, 0, others); f != given || asked != 1 {
		t.Errorf("asked %d times, and the plan is %v", asked, f)
	}
}
