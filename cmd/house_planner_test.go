package cmd_test

import (
	"path"
	"slices"
	"strings"
	"testing"
)

const planner = "model/planner"

// plannerParts are the packages of the planner, each with those that it may know,
// and why no others.
var plannerParts = map[string]struct {
	mayKnow []string
	reason  string
}{
	"clause":      {nil, "a solver of clauses knows nothing of studios"},
	"stock":       {nil, "which cords are owned does not depend on what is asked"},
	"problem":     {[]string{"stock"}, "what is asked is said without a way to answer it"},
	"trial":       {[]string{"problem"}, "a patch that changes part by part is weighed by the problem alone"},
	"objective":   {[]string{"problem"}, "what a patch is worth does not depend on how it was found"},
	"bound":       {[]string{"problem"}, "a bound that knew a plan would be no bound of all plans"},
	"tidy":        {[]string{"problem", "trial", "objective"}, "what is needless is so in every plan, whoever made it"},
	"route":       {[]string{"problem", "stock", "trial", "objective", "tidy"}, "a plan is built without a proof, so that it can be held against one"},
	"cut":         {[]string{"problem"}, "a proof by counting is found without a plan or a search for one"},
	"certificate": {[]string{"stock"}, "a proof is checked by who knows no search, from the studio and the session alone"},
	"byhand":      {[]string{"problem"}, "a room of a test is what is asked, without a way to answer it"},
	"exact":       {[]string{"problem", "trial", "objective", "tidy", "clause"}, "the search proves what it finds by clauses, and not by what was built or bounded before"},
}

// The planner's parts have arrows one way, and nobody else knows them: its door is
// planner.Make.
func TestArrowsBetweenThePlannersParts(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range sources(t) {
		from := path.Base(s.room)
		inside := path.Dir(s.room) == planner
		part, listed := plannerParts[from]
		if inside && !listed {
			t.Errorf("%s: %s is not among the planner's parts", s.path, from)
			continue
		}
		seen[from] = seen[from] || inside
		for _, to := range imports(s) {
			name, is := strings.CutPrefix(to, module+planner+"/")
			switch {
			case !is || s.room == planner:
			case !inside:
				t.Errorf("%s imports %s: a plan has one door, %s", s.path, to, planner)
			case !slices.Contains(part.mayKnow, name):
				t.Errorf("%s imports %s: %s", s.path, to, part.reason)
			}
		}
	}
	for name := range plannerParts {
		if !seen[name] {
			t.Errorf("the planner has no part %s", name)
		}
	}
}

// A part that a reader can hold has types of few methods.
func TestThePlannersTypesHaveFewMethods(t *testing.T) {
	const most = 25
	// The solver is one algorithm on one store of clauses; its exported methods are few.
	allowed := map[string]int{planner + "/clause.Solver": 42}
	for key, methods := range methodsOf(t, planner) {
		if methods > max(most, allowed[key]) {
			t.Errorf("%s has %d methods; %d are what a reader holds", key, methods, most)
		}
	}
}
