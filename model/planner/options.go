package planner

import "bayhand/model/plan"

// DefaultEffort is the work that a plan may take where nothing is said, in
// millions of looks at a literal. A million is some ten milliseconds.
const DefaultEffort = 400

// Options are how a plan is made. The zero value is what the command line does
// by itself.
type Options struct {
	Prefer plan.Prefer
	// Effort bounds the search by counted work, so that the plan is the same on
	// every machine; 0 is DefaultEffort.
	Effort int64
	// LeaveCords leaves what is in and not needed where it is.
	LeaveCords bool
	// FirstID is the number of the first step; 0 is 1.
	FirstID int
	// Partly asks for the best plan for a largest possible part of a session that
	// cannot be given whole. Given stays false.
	Partly bool
	// Progress is told how far the search is: the work done, the proved least
	// and the best number of plugs so far; best is -1 before there is one.
	Progress func(done, least, best int)

	// unexplained leaves it at that where a session cannot be given.
	unexplained bool
}

func (o Options) effort() int64 {
	if o.Effort <= 0 {
		return DefaultEffort * 1e6
	}
	return o.Effort * 1e6
}
