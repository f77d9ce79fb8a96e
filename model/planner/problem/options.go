package problem

import "bayhand/model/plan"

// DefaultEffort is the work that a plan may take where nothing is said, in
// millions of looks at a literal. A million is some ten milliseconds.
const DefaultEffort = 480

// Options are what of a request bounds and steers the search; plan.Request says
// what each is.
type Options struct {
	Prefer     plan.Prefer
	Effort     int64
	LeaveCords bool
	Progress   func(done, least, best int)
}

// Work is the effort in looks at a literal.
func (o Options) Work() int64 {
	if o.Effort <= 0 {
		return DefaultEffort * 1e6
	}
	return o.Effort * 1e6
}
