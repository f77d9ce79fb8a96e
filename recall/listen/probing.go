package listen

import (
	"context"
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/recall/keep"
)

// Probing is what a matrix switches for a moment, to tell the causes of one finding apart.
type Probing struct {
	// Finding is the place of the finding in the answer, Changes what is switched: an output,
	// with all that are switched together with it.
	Finding int
	Changes []plan.Change
	// Plan is how it is listened to meanwhile.
	Plan      *Plan
	switching suspect.Switching
}

// Switchable says which outputs may be switched to listen: of matrices that answer and
// are read back, but those that mute something, also by being switched together with one
// that does.
func Switchable(s *studio.Studio, status keep.Status) func(output name.Point) bool {
	return func(output name.Point) bool {
		mute := slices.ContainsFunc(s.Gear, func(g studio.Gear) bool { return slices.Contains(s.Gang(output), g.Mute.Output) })
		return !mute && slices.ContainsFunc(status.Matrices, func(m keep.MatrixStatus) bool {
			return m.Name == output.Owner && m.Driven && m.Answers && m.ReadsBack
		})
	}
}

// Probing is the switching that tells the causes of the first finding apart for which
// there is one; false where there is none.
func (v *Answer) Probing(may func(output name.Point) bool) (Probing, bool) {
	for at, f := range v.Found.Findings {
		s, found := v.Scene.Switching(f, may, v.Plan.Guarded)
		if !found {
			continue
		}
		r := v.Plan.Request
		r.Patch = s.Patch()
		l, err := Prepare(r)
		if err != nil || !slices.Equal(l.Driven, v.Plan.Driven) {
			continue // what plays would be another sound
		}
		p := Probing{Finding: at, Plan: l, switching: s}
		for _, x := range s.Closed {
			p.Changes = append(p.Changes, plan.Change{Output: x.Output, Input: x.Input})
		}
		return p, true
	}
	return Probing{}, false
}

// Narrow takes in what was heard while it was switched: the causes that do
// not give it are left out.
func (v *Answer) Narrow(p Probing, probed *Answer) {
	v.Found.Findings[p.Finding] = p.switching.Narrow(v.Found.Findings[p.Finding], probed.Paths)
	v.Probed, v.Seconds = &p, v.Seconds+probed.Seconds
}

// Add switches changes more.
func (h *Hold) Add(ctx context.Context, more []plan.Change) error {
	h.Changes = slices.Concat(h.Changes, more)
	return h.Still(ctx)
}

// Replan is the plan in a patch that is known now, while what it needs is muted: what is
// muted is taken to be as it was before.
func (l *Plan) Replan(status keep.Status) (*Plan, error) {
	r := l.Request
	if !l.OfRoom {
		return l, nil
	}
	before := l.Patch
	r.Patch = status.Known.Patch()
	for _, c := range l.Needs() {
		for _, in := range before.Inputs(c.Output) {
			r.Patch = Switched(r.Patch, []plan.Change{{Output: c.Output, Input: in}})
		}
	}
	return Prepare(r)
}
