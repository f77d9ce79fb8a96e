package main

import (
	"errors"
	"fmt"
	"strconv"

	"bayhand/model/check"
	"bayhand/model/plan"
	"bayhand/model/text"
	"bayhand/recall/files"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// showPlan gives a plan as the answer. What cannot be had is a problem at the
// line of the session that asks for it. The effort is what the search was bounded to.
func showPlan(out *output, p *files.Studio, s *files.Session, made *plan.Plan, effort int64) error {
	nothing := !made.Given && len(made.Steps) == 0
	switch {
	case out.json:
		if err := out.answer(made); err != nil {
			return err
		}
	case !nothing:
		out.printf("%s\n", words.Effort(made))
		sheet := paper.FromPlan(p.Studio, made, paper.Caption{Session: s.Session})
		sheet.Missing = nil // these come with their lines
		if err := paper.Text(out.to, sheet, out.width()); err != nil {
			return err
		}
	}
	return missing(out, p, s, made, effort)
}

// nothingWired says of a studio without cables why a session is not possible.
func nothingWired(session string) string {
	return words.Put("{session} is not possible: nothing is wired yet; {remedy}", "session", session, "remedy", check.WireFirst)
}

// missing says what of a session cannot be had. The effort is what the search was bounded to,
// in millions of steps; 0 if it was not said.
func missing(out *output, p *files.Studio, s *files.Session, made *plan.Plan, effort int64) error {
	if len(made.Missing) > 0 && check.Unwired(p.Studio) {
		out.complain("", "  ", "bayhand: "+nothingWired(s.Session.Name))
		return silent(cannot)
	}
	for _, m := range words.In(p.Studio).Of(s.Session).Missing(made.Missing) {
		at, _ := s.Places.Of(m.Key)
		fmt.Fprint(out.err, excerpted(at, text.Error, words.Put("not possible: {want}", "want", m.Want), m.Because, s.Sources[at.File]))
	}
	switch {
	case made.Given:
		return nil
	case len(made.Missing) == 0:
		return tooLittleEffort(effort)
	}
	showRest(out, p, s, made)
	return silent(cannot)
}

// tooLittleEffort says of a search that stopped early how much more to allow it.
func tooLittleEffort(effort int64) error {
	return errors.New(words.Put("the search stopped before a plan was found; allow it more, such as --effort {n}", "n", strconv.FormatInt(plan.MoreEffort(effort), 10)))
}
