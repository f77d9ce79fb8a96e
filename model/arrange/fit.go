package arrange

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"bayhand/model/name"
)

// fit leaves out the gear that sessions ask for the least until what is left has
// room, and says what was left out.
func (r *room) fit(q *Request) []port {
	if slices.Contains(q.Waived, OutputsAbove) {
		r.turnSome(q)
	}
	left := places{r}.fit(q)
	for max(len(r.outputs), len(r.inputs)) > len(r.slots) {
		worth := r.worth(q)
		wide := r.wide()
		// What is asked for the least for each column that it takes.
		owners := slices.SortedFunc(maps.Keys(worth), func(a, b string) int {
			return cmp.Or(cmp.Compare(worth[a]*wide[b], worth[b]*wide[a]), cmp.Compare(wide[b], wide[a]), strings.Compare(a, b))
		})
		owner := owners[0]
		of := func(p port) bool { return p.point.Owner == owner }
		for _, row := range []*[]port{&r.outputs, &r.inputs} {
			for _, p := range *row {
				if of(p) {
					left = append(left, p)
				}
			}
			*row = slices.DeleteFunc(*row, of)
		}
		r.findInserts(q)
	}
	r.link()
	return left
}

// wide is how many columns each piece of gear takes.
func (r *room) wide() map[string]int {
	outputs, inputs, all := map[string]int{}, map[string]int{}, map[string]int{}
	for _, p := range r.outputs {
		outputs[p.point.Owner]++
	}
	for _, p := range r.inputs {
		inputs[p.point.Owner]++
	}
	for _, p := range slices.Concat(r.outputs, r.inputs) {
		all[p.point.Owner] = max(outputs[p.point.Owner], inputs[p.point.Owner])
	}
	return all
}

// worth is how often sessions ask for each piece of gear, by weight.
func (r *room) worth(q *Request) map[string]int {
	worth := map[string]int{}
	for _, p := range slices.Concat(r.outputs, r.inputs) {
		worth[p.point.Owner] += 0
	}
	count := func(p name.Point, weight int) {
		if _, has := worth[p.Owner]; has {
			worth[p.Owner] += max(1, weight)
		}
	}
	for _, s := range q.Sessions {
		for _, w := range s.Session.Wants {
			count(w.Source, s.Weight)
			count(w.Destination, s.Weight)
		}
	}
	return worth
}

// turnSome puts ports of the row that is too long into the other one, as far as there is
// room: those of the gear that sessions ask for the least.
func (r *room) turnSome(q *Request) {
	long, short := &r.outputs, &r.inputs
	if len(r.inputs) > len(r.outputs) {
		long, short = short, long
	}
	count := min(len(*long)-len(r.slots), len(r.slots)-len(*short))
	worth := r.worth(q)
	order := []int{}
	for n, p := range *long {
		if p.point.Part == name.Whole {
			order = append(order, n)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		p, q := (*long)[a].point.Owner, (*long)[b].point.Owner
		return cmp.Or(cmp.Compare(worth[p], worth[q]), strings.Compare(p, q), cmp.Compare(a, b))
	})
	if count <= 0 || len(order) < count {
		return
	}
	gone := map[int]bool{}
	for _, n := range order[:count] {
		p := (*long)[n]
		p.turned, gone[n] = true, true
		*short = append(*short, p)
	}
	var kept []port
	for n, p := range *long {
		if !gone[n] {
			kept = append(kept, p)
		}
	}
	*long = kept
	r.findInserts(q)
}

// turnedCost is what outputs cost that stand below, where no normal can feed anything.
func (r *room) turnedCost(q *Request) []int64 {
	var all []int64
	for i, p := range r.inputs {
		if !p.turned {
			continue
		}
		if all == nil {
			all = make([]int64, len(r.inputs))
		}
		for _, s := range q.Sessions {
			wants := map[name.Point]bool{}
			for _, w := range s.Session.Wants {
				if w.Source == p.point {
					wants[w.Destination] = true
				}
			}
			all[i] += int64(max(1, s.Weight)) * plugs(len(wants), 1)
		}
	}
	return all
}
