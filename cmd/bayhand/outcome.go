package main

import (
	"errors"

	"bayhand/model/plan"
	"bayhand/recall/keep"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// outcome gives the room as the answer of a command that asked something of it,
// also beside an error: then the room stands as the status says. Where nothing was
// done for what was typed, a person has enough with the error.
func (a *app) outcome(p *papers, s keep.Status, err error) error {
	if !a.json && nothingDone(err) {
		return err
	}
	if s.Seq > 0 || err == nil {
		if problem := a.showRoom(p, s); problem != nil {
			return problem
		}
	}
	return err
}

func (a *app) showRoom(p *papers, s keep.Status) error {
	if a.json {
		return a.answer(s)
	}
	a.printf("%s: %s\n", words.Session(s.Session), words.Phase(s.Phase))
	for _, r := range s.Rooms {
		a.lines("  ", "    ", "in "+r.Room+": "+words.Session(r.Session))
	}
	for _, m := range s.Matrices {
		a.showMatrix(m, s.Known.Crosspoints)
	}
	a.showBay(s)
	sheet := paper.FromStatus(p.studio, s, paper.Caption{Session: a.title(p, s.Session)})
	if s.Session == keep.RestName {
		sheet.Loses = nil // at rest everything is silent that rest does not name
	}
	if len(sheet.Lines) == 0 && len(sheet.Missing) == 0 {
		a.showNotes(sheet)
		return nil
	}
	a.printf("\n")
	return paper.Text(a.out, sheet, a.width())
}

// showNotes says what a sheet without steps has to say.
func (a *app) showNotes(sheet paper.Sheet) {
	for _, text := range sheet.Problems {
		a.lines("  ", "    ", "note: "+text)
	}
	for _, text := range sheet.Loses {
		a.lines("  ", "    ", "note: "+text)
	}
}

// showWay gives a plan that nobody goes yet as the answer.
func (a *app) showWay(p *papers, made *plan.Plan) error {
	if a.json {
		return a.answer(made)
	}
	a.printf("%s\n", effort(made))
	return paper.Text(a.out, paper.FromPlan(p.studio, made, paper.Caption{}), a.width())
}

// nothingDone says whether an error is about what was typed, so that the room is
// as it was.
func nothingDone(err error) bool {
	for _, typed := range []error{keep.ErrUsage, keep.ErrConflict, keep.ErrUnknownSession, keep.ErrUnknownStep, keep.ErrUnknownPoint} {
		if errors.Is(err, typed) {
			return true
		}
	}
	return false
}

// onlyNoAnswer says whether an error is about silent devices and nothing else.
func onlyNoAnswer(err error) bool {
	for _, other := range []error{keep.ErrRefused, keep.ErrDiffers, keep.ErrNotGiven, keep.ErrUnknownSession, keep.ErrUnknownStep,
		keep.ErrUnknownPoint, keep.ErrConflict, keep.ErrUsage, keep.ErrNoStudio, keep.ErrJournal, keep.ErrStopped} {
		if errors.Is(err, other) {
			return false
		}
	}
	return errors.Is(err, keep.ErrNoAnswer)
}

// roomStatus is what an error of a keeper ends the command with.
func roomStatus(err error) status {
	for _, known := range []struct {
		err error
		is  status
	}{
		{keep.ErrNoAnswer, noAnswer},
		{keep.ErrUnknownSession, usage},
		{keep.ErrUnknownStep, usage},
		{keep.ErrUnknownPoint, usage},
		{keep.ErrUsage, usage},
	} {
		if errors.Is(err, known.err) {
			return known.is
		}
	}
	return cannot
}
