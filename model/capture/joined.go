package capture

import (
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/session"
)

// Join is outputs that a patch joins, with what of the patch joins them.
type Join struct {
	Outputs []name.Point
	// By is what a capture leaves out of the patch that it keeps; empty where the studio's
	// own wires and normals join them.
	By patch.Patch
	// Sure is true where all of By must go: nobody need guess which of it was a mistake, and
	// what is heard without it is what was meant.
	Sure bool
}

// Left is what a capture of a patch leaves out of it.
type Left struct {
	Joins []Join
	Loops []Loop
}

// LeftOut is what a capture leaves out of a patch in a room that is in a session, besides
// outputs that are apart from those that are switched with them. It takes time linear in the
// room, and for what is in, in the nets that it is on.
func LeftOut(room *heard.Room, in *session.Session, p patch.Patch) Left {
	l := listen(room.For(in, p), in, p)
	return Left{l.joins, l.loops}
}

// String says what a capture does about it.
func (j Join) String() string {
	sentence := "captured while outputs were joined: {outputs}; what joins them was left out: {items}"
	switch {
	case empty(j.By):
		sentence = "captured while outputs were joined: {outputs}; what is heard there was left out"
	case !j.Sure:
		sentence = "captured while outputs were joined: {outputs}; what is heard there was left out, with all that may join them: {items}"
	}
	return phrase.Put(sentence, "outputs", list(j.Outputs), "items", Items(j.By))
}

// Items names the cords, cables and crosspoints of a patch.
func Items(p patch.Patch) string {
	var all []string
	for _, c := range p.Cords {
		all = append(all, phrase.Put("{jack} - {other}", "jack", c.A.String(), "other", c.B.String()))
	}
	for _, l := range p.Leads {
		all = append(all, phrase.Put("{port} - {jack}", "port", l.Port.String(), "jack", l.Jack.String()))
	}
	for _, c := range p.Crosspoints {
		all = append(all, phrase.Put("{input} -> {output}", "input", c.Input.String(), "output", c.Output.String()))
	}
	return strings.Join(all, ", ")
}

// unjoin is a patch without what joins outputs. No crosspoint of it is without those that are
// switched together with it.
func unjoin(room *heard.Room, p patch.Patch) (patch.Patch, []Join) {
	live := room.Live(p)
	bare := room.Hear(patch.Patch{})
	left := p.Clone()
	var joins []Join
	for live.Contended() {
		at := slices.IndexFunc(live.Contentions(), func(c heard.Contention) bool { return len(pairs(c, bare)) > 0 })
		if at < 0 {
			break
		}
		j := joinedBy(live, items(room, left), live.Contentions()[at], bare)
		if empty(j.By) {
			break
		}
		joins = append(joins, j)
		live.Change(j.By, patch.Patch{})
		left = without(left, j.By)
	}
	for _, c := range live.Contentions() {
		joins = append(joins, Join{Outputs: c.Drivers})
	}
	slices.SortStableFunc(joins, func(a, b Join) int { return a.Outputs[0].Compare(b.Outputs[0]) })
	return left, joins
}

// joinedBy finds what of a patch joins outputs: each without which two of them are not
// joined, or where there are several ways, all that is on their net.
func joinedBy(live *heard.Live, parts []patch.Patch, c heard.Contention, bare *heard.State) Join {
	j := Join{Outputs: c.Drivers, Sure: true}
	var without []patch.Patch
	for _, item := range parts {
		live.Change(item, patch.Patch{})
		if slices.ContainsFunc(pairs(c, bare), func(pair [2]name.Point) bool { return !live.Contend(pair[0], pair[1]) }) {
			j.By = with(j.By, item)
			without = append(without, item)
		}
		live.Change(patch.Patch{}, item)
	}
	if len(without) == 0 {
		for _, item := range parts {
			if slices.ContainsFunc(ends(item), func(p name.Point) bool { return live.Joined(p, c.Drivers[0]) }) {
				j.By = with(j.By, item)
			}
		}
		j.Sure = false
		return j
	}
	live.Change(j.By, patch.Patch{})
	for _, item := range without {
		live.Change(patch.Patch{}, item)
		j.Sure = j.Sure && slices.ContainsFunc(pairs(c, bare), func(pair [2]name.Point) bool { return live.Contend(pair[0], pair[1]) })
		live.Change(item, patch.Patch{})
	}
	live.Change(patch.Patch{}, j.By)
	return j
}

// pairs are the outputs of a contention, two by two, that a state does not join.
func pairs(c heard.Contention, s *heard.State) [][2]name.Point {
	var all [][2]name.Point
	for i, q := range c.Drivers {
		for _, p := range c.Drivers[:i] {
			if !s.Contend(p, q) {
				all = append(all, [2]name.Point{p, q})
			}
		}
	}
	return all
}

// items are the cords and cables of a patch, each as a patch of its own, and its crosspoints,
// those in one that are switched together. A cord that hangs loose joins nothing.
func items(room *heard.Room, p patch.Patch) []patch.Patch {
	var all []patch.Patch
	for _, c := range p.Cords {
		if !c.B.IsZero() {
			all = append(all, patch.Patch{Cords: []patch.Cord{c}})
		}
	}
	for _, l := range p.Leads {
		all = append(all, patch.Patch{Leads: []patch.Lead{l}})
	}
	for i, c := range p.Crosspoints {
		with := func(d patch.Crosspoint) bool { return room.SwitchedWith(c, d) }
		if slices.ContainsFunc(p.Crosspoints[:i], with) {
			continue
		}
		together := []patch.Crosspoint{c}
		for _, d := range p.Crosspoints[i+1:] {
			if with(d) {
				together = append(together, d)
			}
		}
		all = append(all, patch.Patch{Crosspoints: together})
	}
	return all
}

func empty(p patch.Patch) bool { return len(p.Cords)+len(p.Leads)+len(p.Crosspoints) == 0 }

// ends are the jacks, ports and matrix points of an item.
func ends(item patch.Patch) []name.Point {
	all := item.Plugs()
	for _, l := range item.Leads {
		all = append(all, l.Port)
	}
	for _, c := range item.Crosspoints {
		all = append(all, c.Output, c.Input)
	}
	return all
}

func with(p, item patch.Patch) patch.Patch {
	return patch.Patch{
		Cords: append(p.Cords, item.Cords...), Leads: append(p.Leads, item.Leads...),
		Dummies: p.Dummies, Crosspoints: append(p.Crosspoints, item.Crosspoints...),
	}
}

func without(p, items patch.Patch) patch.Patch {
	p = p.Clone()
	p.Cords = slices.DeleteFunc(p.Cords, func(c patch.Cord) bool { return slices.Contains(items.Cords, c) })
	p.Leads = slices.DeleteFunc(p.Leads, func(l patch.Lead) bool { return slices.Contains(items.Leads, l) })
	p.Crosspoints = slices.DeleteFunc(p.Crosspoints, func(c patch.Crosspoint) bool { return slices.Contains(items.Crosspoints, c) })
	return p
}
