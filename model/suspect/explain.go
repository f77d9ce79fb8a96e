package suspect

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// Finding is one mistake that was found, with what else it may be.
type Finding struct {
	Mistake
	// OrElse are other causes of the same reading, the likeliest first. They and
	// the finding cannot be told apart from here.
	OrElse []Mistake
	// Guess says that the mistake does not give the reading; it comes nearest.
	Guess bool
	// RuledOut is how many causes of the same picture the delays of a reference rule out.
	RuledOut int
	// Pairs are what it was found by.
	Pairs []Heard
}

// Heard is a pair that is read otherwise than told.
type Heard struct {
	Output, Input name.Point
	Was, Is       Class
}

// Answer is what a reading says.
type Answer struct {
	Findings []Finding
	// Unexplained are pairs that no mistake of those looked for explains.
	Unexplained []Heard
	// Seen cords would be read otherwise if they were missing; Sure ones of those
	// also in any other jack. Both are read as they should be. Unseen are the rest.
	Seen, Sure, Unseen []patch.Cord
}

// Explain says what a picture that was read means.
func (c *Scene) Explain(read []Class) Answer {
	differ := map[int]Class{}
	for _, d := range c.differences(read) {
		differ[d.at] = d.class
	}
	all := c.suspicions()
	answer := Answer{}
	near := groups(all, differ)
	for _, part := range parts(differ, near) {
		explainPart(c, &answer, part, differ, near, all)
	}
	divide(c, &answer, differ)
	return answer
}

func explainPart(c *Scene, answer *Answer, part []int, differ map[int]Class, near []group, all []suspicion) {
	only := map[int]Class{}
	for _, at := range part {
		only[at] = differ[at]
	}
	mine := slices.DeleteFunc(slices.Clone(near), func(g group) bool { return !wasRead(g.changes, only) })
	found := slices.DeleteFunc(covers(part, mine), func(e explanation) bool { return !gives(c, e, only) })
	if len(found) == 0 || found[0].cost > costs[WireOther] {
		if wires := byWire(c, only); len(wires) > 0 {
			found = wires
		}
	}
	if len(found) == 0 {
		found = masked(c, only, all)
	}
	if len(found) == 0 {
		answer.Unexplained = append(answer.Unexplained, heardIn(c, part, differ)...)
		if g, ok := nearest(c, only, all); ok {
			answer.Findings = append(answer.Findings, Finding{Mistake: g, Guess: true, Pairs: heardIn(c, part, differ)})
		}
		return
	}
	for k, g := range found[0].groups {
		f := Finding{Mistake: g.members[0], OrElse: slices.Clone(g.members[1:]), Pairs: heardIn(c, part, differ)}
		for _, other := range found[1:] {
			if k < len(other.groups) && !slices.ContainsFunc(found[0].groups, func(h group) bool { return keyOf(h.changes) == keyOf(other.groups[k].changes) }) {
				f.OrElse = append(f.OrElse, other.groups[k].members...)
			}
		}
		answer.Findings = append(answer.Findings, f)
	}
}

// gives says whether an explanation as a whole gives what was read: mistakes in
// one chain hide each other.
func gives(c *Scene, e explanation, only map[int]Class) bool {
	if len(e.groups) == 1 {
		return true
	}
	var all []Mistake
	for _, g := range e.groups {
		all = append(all, g.members[0])
	}
	made, can := c.combined(all)
	return can && isRead(c, made, only)
}

func isRead(c *Scene, made []Class, only map[int]Class) bool {
	changes := shown(c.differences(made), only)
	return len(changes) == len(only) && wasRead(changes, only)
}

func heardIn(c *Scene, part []int, differ map[int]Class) []Heard {
	var all []Heard
	for _, at := range part {
		all = append(all, Heard{c.Outputs[at%len(c.Outputs)], c.Inputs[at/len(c.Outputs)], c.base[at], differ[at]})
	}
	return all
}

// mostMasked is how many suspicions are tried two by two.
const mostMasked = 48

// masked looks for two mistakes of which one hides a part of the other.
func masked(c *Scene, only map[int]Class, all []suspicion) []explanation {
	near := slices.DeleteFunc(slices.Clone(all), func(s suspicion) bool { return overlap(s.changes, only) == 0 })
	slices.SortStableFunc(near, func(a, b suspicion) int {
		return distance(shown(a.changes, only), only) - distance(shown(b.changes, only), only)
	})
	near = near[:min(len(near), mostMasked)]
	var found []explanation
	for i, a := range near {
		for _, b := range near[i+1:] {
			if made, can := c.combined([]Mistake{a.Mistake, b.Mistake}); can && isRead(c, made, only) {
				found = append(found, explanation{[]group{{shown(a.changes, only), []Mistake{a.Mistake}}, {shown(b.changes, only), []Mistake{b.Mistake}}}, a.Cost + b.Cost})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b explanation) int {
		if a.cost < b.cost {
			return -1
		}
		return 1
	})
	return slices.DeleteFunc(found, func(e explanation) bool { return e.cost > found[0].cost+within })
}

func overlap(changes []difference, only map[int]Class) int {
	count := 0
	for _, d := range changes {
		if class, ok := only[d.at]; ok && fits(d.class, class) {
			count++
		}
	}
	return count
}

// distance is how many pairs a mistake gets wrong.
func distance(changes []difference, only map[int]Class) int {
	right := overlap(changes, only)
	return len(changes) - right + len(only) - right
}

func nearest(c *Scene, only map[int]Class, all []suspicion) (Mistake, bool) {
	best, mistake := len(only), Mistake{}
	for _, s := range all {
		if d := distance(shown(s.changes, only), only); d < best || d == best && mistake.Code != "" && s.Cost < mistake.Cost {
			best, mistake = d, s.Mistake
		}
	}
	return mistake, mistake.Code != ""
}

// Gives says whether a mistake alone gives a picture that was read.
func (c *Scene) Gives(m Mistake, read []Class) bool {
	only := map[int]Class{}
	for _, d := range c.differences(read) {
		only[d.at] = d.class
	}
	return isRead(c, c.predict(m, map[patch.Cord][]int{}), only)
}
