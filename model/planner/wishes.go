package planner

import (
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// wishesWords are wants and silences in short.
func wishesWords(all []exact.Wish) string {
	var texts []string
	for _, a := range all {
		texts = append(texts, a.Text)
	}
	return plan.FoldWants(texts)
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
