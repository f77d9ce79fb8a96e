package order

import (
	"fmt"
	"slices"
	"strconv"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// writer turns units into steps.
type writer struct {
	*arranger
	nextID int
	steps  []plan.Step
	// muted is the step that mutes a gear, unpowered the one that turns phantom
	// power off at an input.
	muted     map[string]string
	unpowered map[name.Point]string
	ids       map[*unit]string
}

func (a *arranger) write() {
	w := &writer{arranger: a, nextID: max(a.plan.FirstID, 1), steps: []plan.Step{}, muted: map[string]string{}, unpowered: map[name.Point]string{}, ids: map[*unit]string{}}
	w.muteAll()
	w.powerOff()
	w.units()
	w.powerOn()
	w.unmuteAll()
	a.plan.Steps = w.steps
	a.plan.Moves = w.moves()
}

func (w *writer) add(s plan.Step) string {
	s.ID = strconv.Itoa(w.nextID)
	w.nextID++
	if s.After == nil {
		s.After = []string{}
	}
	w.steps = append(w.steps, s)
	return s.ID
}

// quieted are the gear that must be muted, with the first unit that asks it.
func (w *writer) quieted(g studio.Gear) (*unit, bool) {
	for _, u := range w.done {
		if slices.Contains(u.quiets, g.Name) {
			return u, true
		}
	}
	return nil, false
}

func (w *writer) muteAll() {
	for _, g := range w.room.Studio().Gear {
		u, ok := w.quieted(g)
		was, is := w.muteInputs(g)
		switch {
		case len(was) > 0 && is.IsZero():
			w.muted[g.Name] = w.switchMute(g, changes(g, was, is), nil, "turns "+g.Name+" off, as the new patch has it")
		case !ok:
		case g.Mute.Output.IsZero():
			w.muted[g.Name] = w.add(plan.Step{By: plan.Person, Do: plan.Mute, Ends: inputs(g), Because: w.whyMute(g, u)})
		case len(was) > 0:
			w.muted[g.Name] = w.switchMute(g, changes(g, was, name.Point{}), nil, w.whyMute(g, u))
		}
	}
}

func (w *writer) switchMute(g studio.Gear, c []plan.Change, after []string, because string) string {
	return w.add(plan.Step{By: g.Mute.Output.Owner, Do: plan.Switch, Crosspoints: c, After: after, Because: because})
}

// muteInputs are what the output that mutes a gear listens to now, and at the
// end; nothing where a person mutes it. Of a relay it can be several now.
func (w *writer) muteInputs(g studio.Gear) (was []name.Point, is name.Point) {
	out := g.Mute.Output
	if out.IsZero() || !w.rules.mutes(out) {
		return nil, is
	}
	if in := patch.Patch(w.plan.Target).Inputs(out); len(in) > 0 {
		is = in[0]
	}
	return w.from.Inputs(out), is
}

// changes take the output that mutes a gear from what it listens to, to an
// input.
func changes(g studio.Gear, was []name.Point, is name.Point) []plan.Change {
	if len(was) == 0 {
		return []plan.Change{{Output: g.Mute.Output, Input: is}}
	}
	var all []plan.Change
	for _, in := range was {
		if in != is {
			all = append(all, plan.Change{Output: g.Mute.Output, Input: is, Was: in})
		}
	}
	return all
}

func inputs(g studio.Gear) []name.Point {
	var points []name.Point
	for _, p := range g.Ports {
		if p.Direction == studio.Input {
			points = append(points, p.Point)
		}
	}
	return points
}

func (w *writer) whyMute(g studio.Gear, u *unit) string {
	for _, r := range u.risks {
		if slices.Contains(r.quiets, g.Name) {
			return "on the way " + r.text
		}
	}
	if u.matrix != "" {
		return "so that nothing is heard from " + g.Name + " while " + u.matrix + " switches"
	}
	return "so that nothing is heard from " + g.Name + " while a plug at " + u.touched[0].String() + " is moved"
}

func (w *writer) powerOff() {
	for _, u := range w.done {
		for _, p := range u.unpowers {
			if w.unpowered[p] == "" {
				w.unpowered[p] = w.add(plan.Step{By: plan.Person, Do: plan.PhantomOff, Ends: []name.Point{p},
					Because: "a plug that goes in or out at " + u.touched[0].String() + " would short its phantom power"})
			}
		}
	}
}

func (w *writer) units() {
	after := newDependencies(w)
	for i, u := range w.done {
		s := plan.Step{By: plan.Person, Do: u.move.Do, Ends: u.move.Ends, To: u.move.To, Length: u.move.Length, Because: u.because}
		if u.matrix != "" {
			s.By, s.Do, s.Crosspoints = u.matrix, plan.Switch, u.changes
			s.Because = w.whySwitch(u)
		}
		for _, r := range u.risks {
			s.Because += "; on the way " + r.text
			break
		}
		s.After = after.of(i)
		w.ids[u] = w.add(s)
		after.did(u, w.steps[len(w.steps)-1])
	}
}

// whySwitch says it of the first output, and how many others there are.
func (w *writer) whySwitch(u *unit) string {
	places := w.places()
	carries, others := "", 0
	for _, c := range u.changes {
		at, ok := places[c.Output]
		switch {
		case c.Input.IsZero() || !ok:
		case carries == "":
			carries = "carries " + at.want.Source.String() + " to " + at.want.Destination.String()
		default:
			others++
		}
	}
	switch {
	case carries == "":
		return u.firstBecause(w)
	case others == 1:
		return carries + ", and one more"
	case others > 1:
		return fmt.Sprintf("%s, and %d more", carries, others)
	}
	return carries
}

func (u *unit) firstBecause(w *writer) string {
	if u.because != "" {
		return u.because
	}
	if u.changes[0].Input.IsZero() {
		return "frees " + u.changes[0].Output.String()
	}
	return w.whyIn(u)
}

// places are found once.
func (w *writer) places() map[name.Point]place {
	if w.onWays == nil {
		w.onWays = w.ranks()
	}
	return w.onWays
}

func (w *writer) powerOn() {
	target := w.rules.new
	for _, p := range w.rules.phantoms {
		off, ok := w.unpowered[p]
		if !ok || !w.mayPower(target.Hears(p)) {
			continue
		}
		after := []string{off}
		for _, u := range w.done {
			if slices.Contains(u.unpowers, p) {
				after = append(after, w.ids[u])
			}
		}
		w.add(plan.Step{By: plan.Person, Do: plan.PhantomOn, Ends: []name.Point{p}, After: after, Because: "everything on its way is in place"})
	}
}

// mayPower says whether phantom power goes to microphones only.
func (w *writer) mayPower(sources []name.Point) bool {
	for _, g := range w.room.Studio().Gear {
		for _, p := range g.Ports {
			if slices.Contains(sources, p.Point) && p.Line.Kind != studio.MicLevel {
				return false
			}
		}
	}
	return true
}

// unmuteAll brings the loudspeakers up again, after everything that is heard
// from them is in place.
func (w *writer) unmuteAll() {
	for _, g := range w.room.Studio().Gear {
		off, muted := w.muted[g.Name]
		was, is := w.muteInputs(g)
		if muted {
			was = nil
		}
		after := w.before(g, off)
		switch up := "brings " + g.Name + " up, as everything on its way is in place"; {
		case g.Mute.Output.IsZero() && muted:
			w.add(plan.Step{By: plan.Person, Do: plan.Unmute, Ends: inputs(g), After: after, Because: "everything on its way is in place"})
		case !is.IsZero() && len(changes(g, was, is)) > 0:
			w.switchMute(g, changes(g, was, is), after, up)
		}
	}
}

// before are the steps that must be done before a gear is brought up: its mute,
// and all that is heard from it.
func (w *writer) before(g studio.Gear, off string) []string {
	after := []string{}
	if off != "" {
		after = append(after, off)
	}
	for _, u := range w.done {
		if slices.Contains(u.quiets, g.Name) || w.zones.sounds(u, g) {
			after = append(after, w.ids[u])
		}
	}
	return after
}

// moves are the person's, with the IDs of their steps.
func (w *writer) moves() []plan.Move {
	moves := []plan.Move{}
	for _, u := range w.done {
		if u.matrix == "" {
			u.move.ID = w.ids[u]
			moves = append(moves, u.move)
		}
	}
	return moves
}
