package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// assert puts in front of the plan what a device that can't be asked must be
// sent for anyone to believe what the plan starts from. It is sent before the
// other steps of that device. A device that can be asked is read instead. Nothing is sent
// for a plan that is not gone by.
func (m *Memory) assert(s *studio.Studio, got way) {
	in := &m.Intent
	if s == nil || in.Plan == nil || !got.question.goneBy(got.plan) {
		return
	}
	for _, matrix := range s.Matrices {
		if matrix.Device == nil || !slices.Contains(m.WriteOnly, matrix.Name) {
			continue
		}
		changes := m.assumed(matrix)
		if len(changes) == 0 {
			continue
		}
		id := in.newID()
		for i, step := range in.Left {
			if step.By == matrix.Name {
				in.Left[i].After = append(slices.Clone(step.After), id)
			}
		}
		first := plan.Step{
			ID: id, By: matrix.Name, Do: plan.Switch, Crosspoints: changes, After: []string{},
			Because: "output state unknown and no read-back: sending all",
		}
		in.Left = append([]plan.Step{first}, in.Left...)
	}
}

// assumed are the outputs of a matrix that nobody has said anything of, each
// with what it is assumed to listen to.
func (m *Memory) assumed(matrix studio.Matrix) []plan.Change {
	var changes []plan.Change
	for n := 1; n <= matrix.Outputs; n++ {
		inputs, fact := m.Known.inputs(matrix.Out(n))
		if !fact.Guessed() {
			continue
		}
		change := plan.Change{Output: matrix.Out(n)}
		if len(inputs) > 0 {
			change.Input, change.Was = inputs[0], inputs[0]
		}
		changes = append(changes, change)
	}
	return changes
}

// disbelieve takes what was sent to devices that cannot be asked for an assumption,
// except on outputs that the plan switches, which are sent to anyway.
func (m *Memory) disbelieve(since Fact, p *plan.Plan, q question) {
	m.Known = m.Known.clone()
	for i, c := range m.Known.Crosspoints {
		if c.How == Sent && q.has(c.Output) && slices.Contains(m.WriteOnly, c.Output.Owner) && !switches(p, c.Output) {
			m.Known.Crosspoints[i].Fact = since
		}
	}
}

func switches(p *plan.Plan, output name.Point) bool {
	return p != nil && slices.ContainsFunc(p.Steps, func(s plan.Step) bool { return s.Do == plan.Switch && touches(s, output) })
}
