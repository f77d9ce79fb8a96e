package cut_test

import (
	"math"
	"strings"
	"testing"

	"bayhand/model/planner/byhand"
	"bayhand/model/planner/cut"
	"bayhand/model/planner/problem"
)

// two are bays that are tied by two lines; cords do not go from one to the other.
const two = `studio: two bays
gear:
  stage: {outputs: {out1-6: pro-line}}
  desk: {inputs: {in1-6: pro-line}}
bays:
  live: {pairs: 10, jack: bantam, modes: isolated, at: {x: 0 m, y: 0 m}}
  control: {pairs: 10, jack: bantam, modes: isolated, at: {x: 20 m, y: 0 m}}
wiring:
  - stage/out1-6 -> live/t1-6
  - control/b1-6 -> desk/in1-6
ties: [live/b7-8 = control/t7-8]
cords: {stock: {60 cm: COUNT}}
`

// What is scarce, with what it is worth and how many there are: reckoned on paper.
func TestWhatIsScarce(t *testing.T) {
	room := func(cords string) string { return strings.Replace(two, "COUNT", cords, 1) }
	for _, test := range []struct {
		name, room, asked string
		want              bool
		kind              cut.Kind
		count, demands    int
		leftOut           int
	}{
		{"two wants, two lines", room("8"), "connect: [stage/out1-2 -> desk/in1-2]\n", false, 0, 0, 0, 0},
		{"three wants, two lines", room("8"), "connect: [stage/out1-3 -> desk/in1-3]\n", true, cut.OfNode, 1, 3, 1},
		{"five wants, two lines", room("20"), "connect: [stage/out1-5 -> desk/in1-5]\n", true, cut.OfNode, 1, 3, 3},
		{"two wants, one cord of four", room("1"), "connect: [stage/out1-2 -> desk/in1-2]\n", true, cut.OfStock, 1, 1, 2},
		{"two wants, three cords of four", room("3"), "connect: [stage/out1-2 -> desk/in1-2]\n", true, cut.OfStock, 3, 2, 1},
	} {
		r := byhand.Read(t, test.room, test.asked, "")
		proof := cut.Find(r.Problem(t, problem.Options{}), nil, 1e8)
		if (proof != nil) != test.want {
			t.Errorf("%s: %+v", test.name, proof)
			continue
		}
		if proof == nil {
			continue
		}
		if proof.LeftOut != test.leftOut {
			t.Errorf("%s: %d are left out at least, and %d are", test.name, proof.LeftOut, test.leftOut)
		}
		if proof.Need <= proof.Have || len(proof.Demands) != test.demands {
			t.Errorf("%s: needed are %v, there are %v, for %+v", test.name, proof.Need, proof.Have, proof.Demands)
		}
		have := 0.0
		for _, price := range proof.Prices {
			have += price.Price * float64(price.Count)
			if price.Kind != test.kind || price.Count != test.count {
				t.Errorf("%s: %+v", test.name, price)
			}
		}
		if math.Abs(have-proof.Have) > 1e-9 {
			t.Errorf("%s: what is scarce is worth %v, and the proof says %v", test.name, have, proof.Have)
		}
	}
}

// Where one thing cannot be had whatever is owned, that alone is told: no line leads
// from one bay to the other.
func TestNoWayAtAll(t *testing.T) {
	room := strings.Replace(strings.Replace(two, "COUNT", "8", 1), "ties: [live/b7-8 = control/t7-8]\n", "", 1)
	r := byhand.Read(t, room, "connect: [stage/out1-2 -> desk/in1-2]\n", "")
	p := r.Problem(t, problem.Options{})
	proof := cut.Find(p, nil, 1e8)
	if proof == nil || len(proof.Demands) != 1 || !proof.Demands[0].NoWay() {
		t.Fatalf("%+v", proof)
	}
	if wants := proof.Demands[0].Wants; len(wants) != 1 {
		t.Errorf("wants %v are told, and one suffices", wants)
	}
}

// Where no cord is owned, none goes on from a jack beside that of the destination either.
func TestNoCordAtAll(t *testing.T) {
	room := strings.NewReplacer("COUNT", "0", "control: {pairs: 10, jack: bantam, modes: isolated", "control: {pairs: 10, jack: bantam, modes: parallel").Replace(two)
	r := byhand.Read(t, room, "connect: [stage/out1 -> desk/in1]\n", "")
	if proof := cut.Find(r.Problem(t, problem.Options{}), nil, 1e8); proof == nil || !proof.Demands[0].NoWay() {
		t.Fatalf("%+v", proof)
	}
}
