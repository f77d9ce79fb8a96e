package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// due is what can be done now.
type due struct {
	// Shown are the steps of devices that need not be sent: they were read to
	// hold already.
	Shown []plan.Step
	// Device are the steps to send, at most one for a matrix.
	Device []plan.Step
	// Person are the steps that a person can do.
	Person []plan.Step
}

// next says which of the steps left can be done now: those whose After are all
// done. It is pure: the same studio, intent and knowledge give the same steps.
// It takes time linear in the steps and what they come after.
func next(s *studio.Studio, in Intent, known Known) due {
	var d due
	done := doneIDs(in)
	asked := map[string]bool{}
	for _, step := range in.Left {
		if !ready(step, done) {
			continue
		}
		switch {
		case !Driven(s, step):
			d.Person = append(d.Person, step)
		case holds(step, known):
			d.Shown = append(d.Shown, step)
		case asked[step.By] || failed(in, step.ID):
		default:
			asked[step.By] = true
			d.Device = append(d.Device, step)
		}
	}
	return d
}

func doneIDs(in Intent) map[string]bool {
	done := map[string]bool{}
	for _, d := range in.Done {
		done[d.ID] = true
	}
	return done
}

func ready(step plan.Step, done map[string]bool) bool {
	return !slices.ContainsFunc(step.After, func(id string) bool { return !done[id] })
}

// Driven says whether a device does the step. The switches of a matrix that no
// device is named for are a person's, at its own panel; of one that the studio
// does not have nobody knows, so it is not left to a person.
func Driven(s *studio.Studio, step plan.Step) bool {
	if step.Do != plan.Switch || step.By == plan.Person {
		return false
	}
	m, ok := matrixOf(s, step.By)
	return !ok || m.Device != nil
}

func matrixOf(s *studio.Studio, matrix string) (studio.Matrix, bool) {
	if s == nil {
		return studio.Matrix{}, false
	}
	m := s.MatrixNamed(matrix)
	if m == nil {
		return studio.Matrix{}, false
	}
	return *m, true
}

// outputsOf are the outputs that a step switches, each with all the inputs that it
// listens to afterwards, sorted; off is none. A relay output that had several inputs
// stands in several changes of one step, which are one thing.
func outputsOf(step plan.Step) map[name.Point][]name.Point {
	all := map[name.Point][]name.Point{}
	for _, c := range step.Crosspoints {
		inputs := all[c.Output]
		if !c.Input.IsZero() && !slices.Contains(inputs, c.Input) {
			inputs = append(inputs, c.Input)
		}
		slices.SortFunc(inputs, name.Point.Compare)
		all[c.Output] = inputs
	}
	return all
}

// holds says whether every crosspoint of the step was read to be as it wants.
func holds(step plan.Step, known Known) bool {
	for output, want := range outputsOf(step) {
		if inputs, fact := known.inputs(output); fact.How != Read || !slices.Equal(inputs, want) {
			return false
		}
	}
	return true
}

// only is what a step does at one output.
func only(step plan.Step, output name.Point) plan.Step {
	step.Crosspoints = slices.DeleteFunc(slices.Clone(step.Crosspoints), func(c plan.Change) bool { return c.Output != output })
	return step
}

func failed(in Intent, id string) bool {
	return slices.ContainsFunc(in.Failed, func(f Failure) bool { return f.ID == id })
}

// orders are the crosspoints that a step opens and closes. Of an output that is
// only guessed everything else is opened: nobody knows what it listens to.
func orders(m studio.Matrix, step plan.Step, known Known) (open, shut []patch.Crosspoint) {
	for output, want := range outputsOf(step) {
		inputs, fact := known.inputs(output)
		if fact.Guessed() {
			inputs = every(m, output)
		}
		for _, input := range inputs {
			if !slices.Contains(want, input) {
				open = append(open, patch.Crosspoint{Output: output, Input: input})
			}
		}
		for _, input := range want {
			shut = append(shut, patch.Crosspoint{Output: output, Input: input})
		}
	}
	slices.SortFunc(open, patch.Crosspoint.Compare)
	slices.SortFunc(shut, patch.Crosspoint.Compare)
	return open, shut
}

// every input that the hardware can put on the output.
func every(m studio.Matrix, output name.Point) []name.Point {
	var inputs []name.Point
	for n := 1; n <= m.Inputs; n++ {
		if !slices.Contains(m.Missing, studio.Absent{Output: output, Input: m.In(n)}) {
			inputs = append(inputs, m.In(n))
		}
	}
	return inputs
}

// held is what the output should listen to after the steps that are done; false
// while that cannot be said, because a step on it is under way or has failed.
func held(in Intent, output name.Point) ([]name.Point, bool) {
	for _, step := range in.Left {
		if (slices.Contains(in.Sending, step.ID) || failed(in, step.ID)) && touches(step, output) {
			return nil, false
		}
	}
	return in.listens(output), true
}

// listens is what the output should listen to after the steps that are done.
func (in Intent) listens(output name.Point) []name.Point {
	inputs := in.From.Inputs(output)
	for _, d := range in.Done[min(in.Before, len(in.Done)):] {
		if want, is := outputsOf(d.Step)[output]; is {
			inputs = want
		}
	}
	return inputs
}

func touches(step plan.Step, output name.Point) bool {
	return slices.ContainsFunc(step.Crosspoints, func(c plan.Change) bool { return c.Output == output })
}

// drifted are the outputs of a matrix that are known to listen to something
// else than the intent holds, or of which the device says what is no input, unclear.
func drifted(in Intent, m studio.Matrix, known Known, unclear []name.Point) []name.Point {
	if in.Plan == nil {
		return nil
	}
	var turned []name.Point
	for n := 1; n <= m.Outputs; n++ {
		want, ok := held(in, m.Out(n))
		has, fact := known.inputs(m.Out(n))
		if ok && (fact.How == Read && !slices.Equal(has, want) || slices.Contains(unclear, m.Out(n))) {
			turned = append(turned, m.Out(n))
		}
	}
	return turned
}
