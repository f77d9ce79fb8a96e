package problem

import (
	"slices"

	"bayhand/model/graph"
)

// Start is the patch that plans begin at: the present one without the leads that are in
// a place where the session, or the studio, does not have them (at:). These are in no
// plan, but where cords are to be left in.
func Start(t *Problem) graph.Patch {
	d := t.Present.Clone()
	d.Leads = slices.DeleteFunc(d.Leads, func(l [2]int) bool { return misplaced(t, l) })
	return d
}

// misplaced says whether a lead goes where no plan has it.
func misplaced(t *Problem, lead [2]int) bool {
	left := t.Options.LeaveCords && slices.Contains(t.Present.Leads, lead)
	return !left && !t.Stock.LeadGoes(lead[0], lead[1])
}
