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

// Probing is a crosspoint that is switched for a moment, to tell the causes of one
// finding apart.
type Probing struct {
	// Finding is the place of the finding in the answer, Change what is switched.
	Finding int
	Change  plan.Change
	// Plan is how it is listened to meanwhile.
	Plan      *Plan
	switching suspect.Switching
}

// Switchable says which outputs may be switched to listen: of matrices that answer and
// are read back, but those that mute something, and those that are switched together with
// others.
func Switchable(s *studio.Studio, status keep.Status) func(output name.Point) bool {
	return func(output name.Point) bool {
		mute := slices.ContainsFunc(s.Gear, func(g studio.Gear) bool { return g.Mute.Output == output })
		return !mute && len(s.Gang(output)) == 1 && slices.ContainsFunc(status.Matrices, func(m keep.MatrixStatus) bool {
			return m.Name == output.Owner && m.Driven && m.Answers && m.ReadsBack
		})
	}
}

// Probing is the crosspoint that tells the causes of the first finding apart for which
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
		return Probing{at, plan.Change{Output: s.Output, Input: s.Input}, l, s}, true
	}
	return Probing{}, false
}

// Narrow takes in what was heard while the crosspoint was switched: the causes that do
// not give it are left out.
func (v *Answer) Narrow(p Probing, probed *Answer) {
	v.Found.Findings[p.Finding] = p.switching.Narrow(v.Found.Findings[p.Finding], probed.Paths)
	v.Probed, v.Seconds = &p, v.Seconds+probed.Seconds
}

// Add switches one change more.
func (h *Hold) Add(ctx context.Context, c plan.Change) error {
	h.Changes = append(slices.Clone(h.Changes), c)
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
