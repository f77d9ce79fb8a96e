package main

import (
	"errors"
	"os"

	"golang.org/x/term"

	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/paper"
)

// showPlan gives a plan as the answer. What cannot be had is a problem at the
// line of the session that asks for it.
func (a *app) showPlan(p *papers, s *session.Session, places text.Places, made *plan.Plan) error {
	nothing := !made.Given && len(made.Steps) == 0
	switch {
	case a.json:
		if err := a.answer(made); err != nil {
			return err
		}
	case !nothing:
		a.printf("%s\n", effort(made))
		sheet := paper.FromPlan(p.studio, made, paper.Caption{Session: s.Title})
		sheet.Missing = nil // these come with their lines
		if err := paper.Text(a.out, sheet, a.width()); err != nil {
			return err
		}
	}
	return a.missing(p, places, made)
}

// missing says what of a session cannot be had.
func (a *app) missing(p *papers, places text.Places, made *plan.Plan) error {
	for _, m := range made.Missing {
		at, _ := places.Of(m.Key)
		a.complainf("%s", excerpted(at, text.Error, m.Want+" cannot be had", m.Because, p.sources[at.File]))
	}
	switch {
	case made.Given:
		return nil
	case len(made.Missing) == 0:
		return errors.New("the search ended before a plan was found; allow it more with --effort")
	}
	return silent(cannot)
}

// effort counts the plugs of a plan in a sentence.
func effort(p *plan.Plan) string {
	switch {
	case p.Plugs == 0:
		return "no plug has to be touched"
	case p.Plugs == p.Least:
		return plural(p.Plugs, "plug") + " handled, and it cannot be fewer"
	case p.Stopped:
		return plural(p.Plugs, "plug") + " handled; the search ended early, and " + plural(p.Least, "plug") + " at least are needed"
	}
	return plural(p.Plugs, "plug") + " handled; " + plural(p.Least, "plug") + " at least are needed"
}

// width is that of the terminal, or 80 columns.
func (a *app) width() int {
	file, ok := a.out.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return paper.Width
	}
	columns, _, err := term.GetSize(int(file.Fd()))
	if err != nil || columns < paper.Narrowest {
		return paper.Width
	}
	return columns
}
