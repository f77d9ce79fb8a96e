package problem

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// Options are what of a request bounds and steers the search; plan.Request says
// what each is.
type Options struct {
	Prefer     plan.Prefer
	Effort     int64
	LeaveCords bool
	Held       []name.Point
	Elsewhere  plan.Elsewhere
	// PastTies lets cords go between bays that are tied and have no places.
	PastTies bool
	Progress func(done, least, best int)
}

// mostEffort is more than any search takes in a lifetime.
const mostEffort = 1e9

// Work is the effort in looks at a literal.
func (o Options) Work() int64 {
	if o.Effort <= 0 {
		return plan.DefaultEffort * 1e6
	}
	return min(o.Effort, mostEffort) * 1e6
}

// Mend takes the tags from what is faulty in a studio. What others hold stays so.
func (o Options) Mend(s *studio.Studio) {
	s.Faulty = o.Held
	s.FaultyNormals = slices.DeleteFunc(slices.Clone(s.FaultyNormals), func(top name.Point) bool {
		bottom := top
		bottom.Stem = studio.Bottom
		return !slices.Contains(s.Faulty, top) && !slices.Contains(s.Faulty, bottom)
	})
}

// Free gives a studio what others hold.
func (o Options) Free(s *studio.Studio) {
	held := func(p name.Point) bool { return slices.Contains(o.Held, p) }
	s.Faulty = slices.DeleteFunc(slices.Clone(s.Faulty), held)
	s.FaultyNormals = slices.DeleteFunc(slices.Clone(s.FaultyNormals), func(top name.Point) bool {
		bottom := top
		bottom.Stem = studio.Bottom
		return held(top) || held(bottom)
	})
}
