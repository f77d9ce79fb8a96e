package plan

import (
	"slices"
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
// given: what is new first, then what is in now; crosspoints before cords.
func (t *task) strip(d draft) draft {
	d = d.clone()
	for {
		less, found := t.oneLess(d)
		if !found {
			return d
		}
		d = less
	}
}

// without are the drafts that have one thing less, in the order in which they
// are tried.
func (t *task) without(d draft) []draft {
	var fresh, old []draft
	sort := func(less draft, isOld bool) {
		if isOld {
			old = append(old, less)
			return
		}
		fresh = append(fresh, less)
	}
	for i, x := range d.crosses {
		less := d.clone()
		less.crosses = t.open(d.crosses, i)
		sort(less, slices.Contains(t.present.crosses, x))
	}
	for i, c := range d.cords {
		less := d.clone()
		less.cords = slices.Delete(less.cords, i, i+1)
		sort(less, slices.Contains(t.present.cords, c))
	}
	for i, l := range d.leads {
		less := d.clone()
		less.leads = slices.Delete(less.leads, i, i+1)
		sort(less, slices.Contains(t.present.leads, l))
	}
	for i, j := range d.dummies {
		less := d.clone()
		less.dummies = slices.Delete(less.dummies, i, i+1)
		sort(less, slices.Contains(t.present.dummies, j))
	}
	return append(fresh, old...)
}

func (t *task) oneLess(d draft) (draft, bool) {
	for _, less := range t.without(d) {
		if t.gives(less) {
			return less, true
		}
	}
	return draft{}, false
}
