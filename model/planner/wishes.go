package planner

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// wishesWords are wants and silences in short; lines that are kept are marked.
func wishesWords(t *problem.Problem, all []exact.Wish) string {
	var wants, kept, silent []string
	for _, a := range all {
		of, _ := wishedOf(t, a)
		switch {
		case len(of) == 0:
			silent = append(silent, a.Text)
		case of[0].Keep:
			kept = append(kept, a.Text)
		default:
			wants = append(wants, a.Text)
		}
	}
	parts := plan.Folded(wants)
	for _, lines := range plan.Folded(kept) {
		parts = append(parts, phrase.Put("{lines} (kept)", "lines", lines))
	}
	return strings.Join(append(parts, plan.Folded(silent)...), ", ")
}

// wishedOf are the want or the silence of a wish.
func wishedOf(t *problem.Problem, a exact.Wish) (wants []session.Want, silent []name.Point) {
	for _, w := range t.Session.Wants {
		if problem.WantText(w) == a.Text {
			wants = append(wants, w)
			break
		}
	}
	for _, p := range t.Session.Silent {
		if problem.SilenceText(p) == a.Text {
			silent = append(silent, p)
		}
	}
	return wants, silent
}

// inOrder has what is missing in the order of the session.
func inOrder(t *problem.Problem, missing []plan.Missing) {
	place := map[string]int{}
	for i, w := range exact.Wishes(t) {
		place[w.Text] = i
	}
	slices.SortStableFunc(missing, func(a, b plan.Missing) int { return place[a.Want] - place[b.Want] })
}
