package planner

import (
	"slices"

	"bayhand/model/plan"
)

// DefaultEffort is the work that a plan may take where nothing is said, in
// millions of looks at a literal. A million is some ten milliseconds.
const DefaultEffort = 480

// options are what of a request bounds and steers the search; plan.Request says
// what each is.
type options struct {
	Prefer     plan.Prefer
	Effort     int64
	LeaveCords bool
	FirstID    int
	Partly     bool
	Progress   func(done, least, best int)

	// unexplained leaves it at that where a session cannot be given.
	unexplained bool
	// without names the stages that are left out, so that a test can see what they are worth.
	without []string
}

func optionsOf(r plan.Request) options {
	return options{Prefer: r.Prefer, Effort: r.Effort, LeaveCords: r.LeaveCords, FirstID: r.FirstID, Partly: r.Partly, Progress: r.Progress}
}

func (o options) effort() int64 {
	if o.Effort <= 0 {
		return DefaultEffort * 1e6
	}
	return o.Effort * 1e6
}

func (o options) leavesOut(stage string) bool { return slices.Contains(o.without, stage) }
