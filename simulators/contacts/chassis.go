package contacts

import (
	"errors"

	"gonum.org/v1/gonum/mat"

	"bayhand/model/name"
)

// Hum is the voltage between the legs of a point when the chassis of the gear output's is
// at 1 V against that of all other gear, as mains leakage and grounds at two places make
// it, and nothing is played: what both legs have in common cancels where both arrive; 0
// for points that the room does not have, and for outputs that float. It takes time
// quadratic in the nodes. An unbalanced output has its cold leg tied to its chassis.
func (r *Readings) Hum(at, output name.Point) (Volt, error) {
	lifted := r.panel.lifted[output]
	if !r.panel.has(at) || len(lifted) == 0 {
		return 0, nil
	}
	currents := mat.NewVecDense(r.panel.network.nodes, nil)
	for _, leg := range lifted {
		currents.SetVec(int(leg.at), currents.AtVec(int(leg.at))+float64(leg.v)/float64(leg.r))
	}
	var response mat.VecDense
	var condition mat.Condition
	if err := r.solved.factors.SolveVecTo(&response, currents); err != nil && !errors.As(err, &condition) {
		return 0, err
	}
	m := r.panel.listening(at)
	return Volt(response.AtVec(int(m.tip)) - response.AtVec(int(m.ring))), nil
}

// lift notes what of an output rises with its chassis.
func (b *Panel) lift(p name.Point, at Node, r Ohm) {
	b.lifted[p] = append(b.lifted[p], leg{at, ground, 1, r})
}
