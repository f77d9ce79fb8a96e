package order

import (
	"fmt"
	"slices"

	"bayhand/model/name"
)

// risk is something that a state should not have.
type risk struct {
	weight int
	text   string
	// quiets are the gear that may sound.
	quiets []string
}

// What a risk weighs: joined outputs and loops are worse than the interruption
// of what is to be kept, and that is worse than a plug that moves on its way. What
// only sounds weighs nothing, where it is muted.
const (
	sounds   = 0
	touches  = 1
	breaksUp = 16
	clashes  = 256
)

// effect is what a unit does that should not be, where it is done in one state.
type effect struct {
	risks []risk
	// quiets are the gear that must be down before it.
	quiets []string
	// unpowers are the inputs whose phantom power must be off before it.
	unpowers []name.Point
	// lost is what is heard in both patches and falls silent.
	lost []hearer
}

// hearer is an input and a source that it hears.
type hearer struct{ in, source name.Point }

// weight is that of all risks, worst that of the worst.
func (e *effect) weight() (all, worst int) {
	for _, r := range e.risks {
		all += r.weight
		worst = max(worst, r.weight)
	}
	return all, worst
}

func (e *effect) risk(risks ...risk) {
	for _, r := range risks {
		e.risks = append(e.risks, r)
		e.hush(r.quiets...)
	}
}

func (e *effect) hush(gear ...string) {
	for _, g := range gear {
		if !slices.Contains(e.quiets, g) {
			e.quiets = append(e.quiets, g)
		}
	}
}

// do does a unit and says what comes of it.
func (r *rules) do(n *now, u *unit) effect {
	var e effect
	for _, ev := range u.events {
		before := r.hearing(n, ev.at)
		rings := r.rung && r.goesRound(n, ev.at)
		r.touch(n, ev.jack, &e)
		n.change(ev.out, ev.in)
		r.touch(n, ev.jack, &e)
		e.risk(r.joined(n, ev.at)...)
		if rings || r.goesRound(n, ev.joined) {
			e.risk(r.ringing(n)...)
		}
		r.listen(n, n.reaches(ev.at), before, &e)
	}
	return e
}

// hearing is what some inputs hear of what they hear in both patches.
type hearing map[name.Point][]name.Point

// hearing is that of all inputs which hear one of some points.
func (r *rules) hearing(n *now, at []name.Point) hearing {
	h := hearing{}
	for _, in := range n.reaches(at) {
		both := r.both[in]
		if len(both) == 0 {
			continue
		}
		heard := n.Hears(in)
		h[in] = slices.DeleteFunc(heard, func(p name.Point) bool { return !slices.Contains(both, p) })
	}
	return h
}

// touch is what a plug at a jack does while it moves.
func (r *rules) touch(n *now, jack name.Point, e *effect) {
	if jack.IsZero() {
		return
	}
	e.hush(r.sounding(n, jack)...)
	for _, p := range r.powered(n, jack) {
		if !slices.Contains(e.unpowers, p) {
			e.unpowers = append(e.unpowers, p)
		}
	}
	if len(r.kept) == 0 {
		return
	}
	for _, in := range n.Reaches(jack) {
		if w, ok := r.kept[in]; ok {
			e.risk(risk{weight: touches, text: fmt.Sprintf("a plug moves on the way %s -> %s", w.Source, w.Destination)})
		}
	}
}

// listen is what has come to be heard, and what is not any more.
func (r *rules) listen(n *now, reached []name.Point, before hearing, e *effect) {
	for _, in := range reached {
		s, ok := r.speakers[in]
		if !ok {
			continue
		}
		for _, source := range n.Hears(in) {
			if !slices.Contains(s.may, source) {
				e.risk(risk{sounds, fmt.Sprintf("%s would be heard from %s", source, s.called), []string{s.gear}})
			}
		}
	}
	for in, sources := range before {
		heard := n.Hears(in)
		for _, p := range sources {
			if !slices.Contains(heard, p) {
				e.lost = append(e.lost, hearer{in, p})
			}
		}
	}
	r.keep(n, reached, before, e)
}

// keep looks at what is to be kept and may have changed.
func (r *rules) keep(n *now, reached []name.Point, before hearing, e *effect) {
	if len(r.kept) == 0 {
		return
	}
	changed := slices.Clone(reached)
	for in := range before {
		changed = append(changed, in)
	}
	slices.SortFunc(changed, name.Point.Compare)
	for _, in := range slices.Compact(changed) {
		if w, ok := r.kept[in]; ok && !gives(n, w) {
			e.risk(risk{weight: breaksUp, text: fmt.Sprintf("%s -> %s is interrupted", w.Source, w.Destination)})
		}
	}
}
