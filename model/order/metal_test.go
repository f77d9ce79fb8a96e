package order_test

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/simulators/contacts"
)

// measure looks for current between outputs, for what arrives at loudspeakers
// and for what goes round, in a room of springs and resistors that shares nothing
// with the model. What neither end of the way has may not be.
func (l *limits) measure(r *replay, s plan.Step) {
	if l.meters == nil {
		for _, p := range l.patches {
			l.meters = append(l.meters, l.meter(r, s, p))
		}
	}
	now := l.meter(r, s, r.now)
	if now == nil || slices.Contains(l.meters, nil) {
		return
	}
	r.measured++
	for _, outputs := range now.Fights() {
		a, b, ok := l.newlyJoined(outputs)
		if ok && !r.knows(a, b) {
			r.fail(s, "current flows between %s and %s", a, b)
		}
	}
	l.arrives(r, s, now)
	for _, inside := range l.insides {
		if now.Howls(inside) && !l.meters[0].Howls(inside) && !l.meters[1].Howls(inside) && !r.clashed && len(l.allow) == 0 {
			r.fail(s, "something goes round in the metal")
		}
	}
}

// meter measures a patch; nil where the room cannot be built so.
func (l *limits) meter(r *replay, s plan.Step, p patch.Patch) *contacts.Readings {
	panel, err := contacts.Build(l.room.Studio(), p)
	if err != nil {
		r.fail(s, "%v", err)
		return nil
	}
	readings, err := panel.Measure()
	if err != nil {
		r.fail(s, "%v", err)
		return nil
	}
	return readings
}

// knows says whether the model found a fight, too.
func (r *replay) knows(a, b name.Point) bool {
	return slices.Contains(r.clashes, a.String()+" and "+b.String()+" are joined")
}

// arrives looks at the loudspeakers that are up. Where outputs fight, or the
// meter cannot tell, nothing is said.
func (l *limits) arrives(r *replay, s plan.Step, now *contacts.Readings) {
	unclear := now.Unclear()
	for _, m := range l.meters {
		unclear = append(unclear, m.Unclear()...)
	}
	for _, g := range l.listening() {
		if r.silenced(g) {
			continue
		}
		for _, in := range inputs(g) {
			if now.Doubtful(in) || slices.Contains(unclear, in) {
				continue
			}
			for _, source := range now.Hears(in) {
				if !l.meters[0].Doubtful(in) && !l.meters[1].Doubtful(in) &&
					!slices.Contains(l.meters[0].Hears(in), source) && !slices.Contains(l.meters[1].Hears(in), source) {
					r.fail(s, "%s arrives at %s in the metal", source, g.Name)
				}
			}
		}
	}
}
