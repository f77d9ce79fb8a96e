package order_test

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// replay does the steps of a plan as hands and devices do, one plug at a time,
// and hears the room anew after each. It shares nothing with the package but
// the plan.
type replay struct {
	room      *heard.Room
	now       patch.Patch
	muted     map[string]bool
	unpowered map[name.Point]bool
	// limits say what a state may have; nil looks at nothing.
	limits *limits
	// wrong is what may never be; clashes are joined outputs and loops, breaks are
	// interruptions of kept ways, and touches plugs that move on them: there may be
	// no order without.
	wrong, clashes, breaks, touches []string
	// given says that the steps come in the order given.
	given bool
	// watch is told of each change; nil for nobody.
	watch func(jack name.Point, before, after patch.Patch)
	// metal says that each state is measured in springs and resistors as well;
	// measured counts the states, and clashed is true once one had joined outputs
	// or a loop.
	metal    bool
	measured int
	clashed  bool
}

func newReplay(room *heard.Room, from patch.Patch, l *limits) *replay {
	return &replay{room: room, now: from.Clone(), muted: map[string]bool{}, unpowered: map[name.Point]bool{}, limits: l}
}

func (r *replay) fail(s plan.Step, format string, args ...any) {
	r.wrong = append(r.wrong, "step "+s.ID+", "+show(s)+": "+fmt.Sprintf(format, args...))
}

// clash notes joined outputs or a loop; the step that brings it must own up.
func (r *replay) clash(s plan.Step, what string) {
	r.clashed = true
	if !r.given || slices.Contains(r.clashes, what) {
		r.clashes = append(r.clashes, what)
		return
	}
	r.clashes = append(r.clashes, what)
	if !strings.Contains(s.Because, "in between, ") {
		r.fail(s, "%s, and it does not say so: %q", what, s.Because)
	}
}

// do does one step.
func (r *replay) do(s plan.Step) {
	switch s.Do {
	case plan.Mute, plan.Unmute:
		r.muted[s.Ends[0].Owner] = s.Do == plan.Mute
	case plan.PhantomOff, plan.PhantomOn:
		for _, p := range s.Ends {
			if off := s.Do == plan.PhantomOff; off == r.unpowered[p] {
				r.fail(s, "phantom power of %s is so already", p)
			}
			r.unpowered[p] = s.Do == plan.PhantomOff
			r.thump(s, p)
		}
	case plan.ChangeOver: // loops are looked for under both
	case plan.Switch:
		r.switches(s)
	case plan.Plug:
		r.in(s, s.Ends[0])
		for _, end := range s.Ends[1:] {
			r.grow(s, s.Ends[0], end)
		}
	case plan.Pull:
		if len(s.Ends) > 1 {
			r.hang(s, s.Ends[1], s.Ends[0])
		}
		r.out(s, s.Ends[len(s.Ends)-1])
	case plan.MoveEnd:
		if len(s.Ends) > 1 {
			r.hang(s, s.Ends[0], s.Ends[1])
		}
		if len(s.To) > 1 {
			r.grow(s, s.To[0], s.To[1])
		}
	case plan.PlugDummy:
		r.free(s, s.Ends[0])
		r.change(s, s.Ends[0], func() { r.now.Dummies = append(r.now.Dummies, s.Ends[0]) })
	case plan.PullDummy:
		at := slices.Index(r.now.Dummies, s.Ends[0])
		if at < 0 {
			r.fail(s, "there is no dummy")
			return
		}
		r.change(s, s.Ends[0], func() { r.now.Dummies = slices.Delete(r.now.Dummies, at, at+1) })
	case plan.PlugLead:
		r.free(s, s.Ends[1])
		r.change(s, s.Ends[1], func() { r.now.Leads = append(r.now.Leads, patch.Lead{Port: s.Ends[0], Jack: s.Ends[1]}) })
	case plan.PullLead:
		at := slices.Index(r.now.Leads, patch.Lead{Port: s.Ends[0], Jack: s.Ends[1]})
		if at < 0 {
			r.fail(s, "there is no such lead")
			return
		}
		r.change(s, s.Ends[1], func() { r.now.Leads = slices.Delete(r.now.Leads, at, at+1) })
	default:
		r.fail(s, "nobody knows how to do it")
	}
}

// cord finds a cord by its jacks.
func (r *replay) cord(s plan.Step, ends ...name.Point) int {
	c := patch.Cord{A: ends[0]}
	if len(ends) > 1 {
		c.B = ends[1]
	}
	at := slices.IndexFunc(r.now.Cords, c.Same)
	if at < 0 {
		r.fail(s, "there is no cord %v", ends)
	}
	return at
}

func (r *replay) free(s plan.Step, jack name.Point) {
	if slices.Contains(r.now.Plugs(), jack) {
		r.fail(s, "%s holds a plug already", jack)
	}
}

// in plugs the first end of a cord, which then hangs.
func (r *replay) in(s plan.Step, jack name.Point) {
	r.free(s, jack)
	r.change(s, jack, func() { r.now.Cords = append(r.now.Cords, patch.Cord{A: jack, Length: s.Length}) })
}

// grow plugs the free end of a cord that hangs from a jack.
func (r *replay) grow(s plan.Step, from, to name.Point) {
	r.free(s, to)
	if at := r.cord(s, from); at >= 0 {
		r.change(s, to, func() { r.now.Cords[at] = patch.Cord{A: from, B: to, Length: r.now.Cords[at].Length} })
	}
}

// hang pulls one end of a cord.
func (r *replay) hang(s plan.Step, stays, goes name.Point) {
	if at := r.cord(s, stays, goes); at >= 0 {
		r.change(s, goes, func() { r.now.Cords[at] = patch.Cord{A: stays, Length: r.now.Cords[at].Length} })
	}
}

// out pulls the last end of a cord.
func (r *replay) out(s plan.Step, jack name.Point) {
	if at := r.cord(s, jack); at >= 0 {
		r.change(s, jack, func() { r.now.Cords = slices.Delete(r.now.Cords, at, at+1) })
	}
}

// switches opens what is to be opened, then closes what is to be closed, one
// crosspoint after the other, as a device may.
func (r *replay) switches(s plan.Step) {
	for _, c := range s.Crosspoints {
		if c.Was.IsZero() {
			continue
		}
		open := patch.Crosspoint{Output: c.Output, Input: c.Was}
		at := slices.Index(r.now.Crosspoints, open)
		if at < 0 {
			r.fail(s, "%v is not closed", open)
			continue
		}
		r.relays(s, c.Output)
		r.change(s, name.Point{}, func() { r.now.Crosspoints = slices.Delete(r.now.Crosspoints, at, at+1) })
	}
	for _, c := range s.Crosspoints {
		closed := patch.Crosspoint{Output: c.Output, Input: c.Input}
		if c.Input.IsZero() || slices.Contains(r.now.Crosspoints, closed) {
			continue
		}
		if len(r.now.Inputs(c.Output)) > 0 {
			r.fail(s, "%s would listen to two inputs", c.Output)
		}
		r.change(s, name.Point{}, func() { r.now.Crosspoints = append(r.now.Crosspoints, closed) })
		r.relays(s, c.Output)
	}
}

// change makes one event, and looks at the state before and after it.
func (r *replay) change(s plan.Step, jack name.Point, do func()) {
	if r.limits == nil {
		before := r.now.Clone()
		do()
		if r.watch != nil {
			r.watch(jack, before, r.now)
		}
		return
	}
	if !jack.IsZero() {
		r.limits.touch(r, s, jack)
	}
	do()
	if !jack.IsZero() {
		r.limits.touch(r, s, jack)
	}
	r.limits.judge(r, s)
	if r.metal {
		r.limits.measure(r, s)
	}
}

// silenced says whether gear is down at this moment.
func (r *replay) silenced(g studio.Gear) bool {
	if out := g.Mute.Output; !out.IsZero() {
		return len(r.now.Inputs(out)) == 0
	}
	return r.muted[g.Name]
}

// show is a step in a line.
func show(s plan.Step) string {
	line := fmt.Sprintf("%s %s", s.By, s.Do)
	for _, p := range s.Ends {
		line += " " + p.String()
	}
	if len(s.To) > 0 {
		line += " to"
	}
	for _, p := range s.To {
		line += " " + p.String()
	}
	for _, c := range s.Crosspoints {
		line += fmt.Sprintf(" %s:%s", c.Output.Port(), input(c.Input))
		if !c.Was.IsZero() {
			line += "(" + input(c.Was) + ")"
		}
	}
	return line
}

func input(p name.Point) string {
	if p.IsZero() {
		return "off"
	}
	return p.Port()
}
