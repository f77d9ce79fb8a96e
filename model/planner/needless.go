package planner

import (
	"slices"

	"bayhand/model/session"
)

// gives says whether a draft gives the session, by package heard, and goes the
// ways that it asks for.
func (t *task) gives(d draft) bool {
	return !t.parted(d) && !d.shared() && len(t.judge.Faults(t.room.Hear(t.patch(d)))) == 0 && t.goes(d)
}

// shared says whether two leads come from one port, which takes one plug.
func (d draft) shared() bool {
	taken := map[int]bool{}
	for _, l := range d.leads {
		if taken[l[0]] {
			return true
		}
		taken[l[0]] = true
	}
	return false
}

// goes says whether every want goes the way that it asks for.
func (t *task) goes(d draft) bool {
	var n *nets
	for _, w := range t.session.Wants {
		if len(w.Via)+len(w.Avoid) == 0 {
			continue
		}
		if n == nil {
			n = t.nets(d)
		}
		way, ok := n.wayTo(t.node[t.number[w.Destination]], t.sourceOf[w.Source])
		if !ok || !goesRight(way, w.Via, w.Avoid) {
			return false
		}
	}
	return true
}

// strip takes everything out of a draft without which the session is still
// given: what is new first, then what is in now; crosspoints before cords. It
// goes over the draft until nothing more can go.
func (t *task) strip(d draft) draft {
	r := t.try(d)
	if r.wrong() > 0 {
		return d
	}
	ways := slices.ContainsFunc(t.session.Wants, func(w session.Want) bool { return len(w.Via)+len(w.Avoid) > 0 })
	for more := true; more; {
		more = false
		for _, p := range t.parts(d) {
			out := r.together(p)
			if out == nil {
				continue
			}
			if r.change(out, nil); r.wrong() == 0 && (!ways || t.goes(r.draft())) {
				more = true
				continue
			}
			r.change(nil, out)
		}
		d = r.draft()
	}
	return d
}

// together are a part that is in and the crosspoints that go with it; nil where
// it is not in.
func (r *trial) together(p part) []part {
	if p.kind != crossPart {
		return []part{p}
	}
	if !slices.Contains(r.behind[r.crosses[p.a].output], p.a) {
		return nil
	}
	out := []part{p}
	for _, x := range r.fellows[p.a] {
		if x != p.a && x != nowhere && slices.Contains(r.behind[r.crosses[x].output], x) {
			out = append(out, part{crossPart, x, 0})
		}
	}
	return out
}

// parts are what a draft holds, in the order in which it is tried without.
func (t *task) parts(d draft) []part {
	var fresh, old []part
	sort := func(p part, in bool) {
		if in {
			old = append(old, p)
			return
		}
		fresh = append(fresh, p)
	}
	for _, x := range d.crosses {
		sort(part{crossPart, x, 0}, slices.Contains(t.present.crosses, x))
	}
	for _, c := range d.cords {
		sort(part{cordPart, c[0], c[1]}, slices.Contains(t.present.cords, c))
	}
	for _, l := range d.leads {
		sort(part{leadPart, l[0], l[1]}, slices.Contains(t.present.leads, l))
	}
	for _, j := range d.dummies {
		sort(part{dummyPart, j, 0}, slices.Contains(t.present.dummies, j))
	}
	return append(fresh, old...)
}

func dropped[T comparable](list []T, one T) []T {
	return slices.DeleteFunc(list, func(t T) bool { return t == one })
}
