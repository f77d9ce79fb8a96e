package keep_test

import (
	"context"
	"slices"
	"strconv"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// straightPlanner is a made-up one: it goes straight to the patch that a session is
// known to be given by. A session's outputs named in late wait for every move of
// a person; the others wait for nothing.
type straightPlanner struct {
	targets map[string]patch.Patch
	late    map[name.Point]bool
	// speakers are muted before anything moves that a person moves.
	speakers []name.Point
	// missing sessions cannot be given.
	missing map[string]string
	// asks are all that it was asked.
	asks []plan.Request
}

func (p *straightPlanner) plan(_ context.Context, ask plan.Request) (*plan.Plan, error) {
	p.asks = append(p.asks, ask)
	session, target := keep.RestName, ask.Studio.Rest
	if ask.Session != nil {
		session = ask.Session.Name
		target = p.targets[session]
		// A file that was saved anew can ask for another target, by its notes.
		if other, is := p.targets[ask.Session.Notes]; is {
			target = other
		}
	}
	d := draft{next: max(ask.FirstID, 1)}
	made := &plan.Plan{Session: session, Given: true, Target: plan.Target(target)}
	if why := p.missing[session]; why != "" {
		made.Given = false
		made.Missing = []plan.Missing{{Want: "a/out1 -> b/in1", Because: why}}
		if !ask.Partly {
			made.Target = plan.Target(ask.From)
			return made, nil
		}
	}
	d.switches(ask.From, target, func(o name.Point) bool { return !p.late[o] }, nil)
	d.person(ask.From, target, p.speakers)
	var moves []string
	for _, s := range d.steps {
		if s.By == plan.Person && s.Do != plan.Unmute {
			moves = append(moves, s.ID)
		}
	}
	d.switches(ask.From, target, func(o name.Point) bool { return p.late[o] }, moves)
	if len(p.speakers) > 0 && len(moves) > 0 {
		var all []string
		for _, s := range d.steps {
			all = append(all, s.ID)
		}
		d.add(plan.Step{By: plan.Person, Do: plan.Unmute, Ends: p.speakers, After: all})
	}
	made.Steps = d.steps
	for _, s := range d.steps {
		if s.By == plan.Person && s.Do != plan.Mute && s.Do != plan.Unmute {
			made.Moves = append(made.Moves, plan.Move{ID: s.ID, Do: s.Do, Ends: s.Ends, To: s.To})
		}
		made.Crosspoints = append(made.Crosspoints, s.Crosspoints...)
	}
	return made, nil
}

type draft struct {
	next  int
	steps []plan.Step
}

func (d *draft) add(s plan.Step) string {
	s.ID = strconv.Itoa(d.next)
	d.next++
	if s.After == nil {
		s.After = []string{}
	}
	d.steps = append(d.steps, s)
	return s.ID
}

// switches adds one step for each matrix that has outputs to change.
func (d *draft) switches(from, to patch.Patch, mine func(name.Point) bool, after []string) {
	outputs := map[name.Point]bool{}
	for _, c := range slices.Concat(from.Crosspoints, to.Crosspoints) {
		outputs[c.Output] = true
	}
	changes := map[string][]plan.Change{}
	for o := range outputs {
		was, wanted := one(from.Inputs(o)), one(to.Inputs(o))
		if mine(o) && (was != wanted || len(from.Inputs(o)) > 1) {
			changes[o.Owner] = append(changes[o.Owner], plan.Change{Output: o, Input: wanted, Was: was})
		}
	}
	var matrices []string
	for m := range changes {
		matrices = append(matrices, m)
	}
	slices.Sort(matrices)
	for _, m := range matrices {
		slices.SortFunc(changes[m], func(a, b plan.Change) int { return a.Output.Compare(b.Output) })
		d.add(plan.Step{By: m, Do: plan.Switch, Crosspoints: changes[m], After: slices.Clone(after)})
	}
}

func one(points []name.Point) name.Point {
	if len(points) == 0 {
		return name.Point{}
	}
	return points[0]
}

// person adds the moves: cords out, then cords in, each after the pulls that
// free its jacks.
func (d *draft) person(from, to patch.Patch, speakers []name.Point) {
	var out, in []patch.Cord
	for _, c := range from.Cords {
		if !slices.ContainsFunc(to.Cords, c.Same) {
			out = append(out, c)
		}
	}
	for _, c := range to.Cords {
		if !slices.ContainsFunc(from.Cords, c.Same) {
			in = append(in, c)
		}
	}
	var first []string
	if len(speakers) > 0 && len(out)+len(in)+len(from.Dummies) > 0 {
		first = []string{d.add(plan.Step{By: plan.Person, Do: plan.Mute, Ends: speakers})}
	}
	freed := map[name.Point]string{}
	for _, j := range from.Dummies { // no session here wants one
		freed[j] = d.add(plan.Step{By: plan.Person, Do: plan.PullDummy, Ends: []name.Point{j}, After: slices.Clone(first)})
	}
	for _, c := range out {
		id := d.add(plan.Step{By: plan.Person, Do: plan.Pull, Ends: c.Ends(), After: slices.Clone(first)})
		freed[c.A], freed[c.B] = id, id
	}
	for _, c := range in {
		after := slices.Clone(first)
		for _, e := range c.Ends() {
			if id := freed[e]; id != "" && !slices.Contains(after, id) {
				after = append(after, id)
			}
		}
		d.add(plan.Step{By: plan.Person, Do: plan.Plug, Ends: c.Ends(), Length: c.Length, After: after})
	}
}
