package main

import (
	"errors"

	"bayhand/model/plan"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// view shows the room to a person, or its status to a program.
type view struct {
	out   *output
	files *reader
}

// outcome gives the room as the answer of a command that asked something of it,
// also beside an error: then the room stands as the status says. Where nothing was
// done for what was typed, a person has enough with the error.
func (v *view) outcome(p *files.Studio, s keep.Status, err error) error {
	if !v.out.json && nothingDone(err) {
		return err
	}
	if s.Seq > 0 || err == nil {
		if problem := v.showRoom(p, s); problem != nil {
			return problem
		}
	}
	return err
}

func (v *view) showRoom(p *files.Studio, s keep.Status) error {
	if v.out.json {
		return v.out.answer(s)
	}
	v.out.printf("%s: %s\n", words.Session(s.Session), words.Phase(s.Phase))
	for _, r := range s.Rooms {
		v.out.lines("  ", "    ", "in "+r.Room+": "+words.Session(r.Session))
	}
	for _, m := range s.Matrices {
		v.showMatrix(m, s.Known.Crosspoints)
	}
	v.showBay(s)
	sheet := paper.FromStatus(p.Studio, s, paper.Caption{Session: v.files.library().Title(p, s.Session)})
	if s.Session == keep.RestName {
		sheet.Loses = nil // at rest everything is silent that rest does not name
	}
	if len(sheet.Lines) == 0 && len(sheet.Missing) == 0 {
		v.showNotes(sheet)
		return nil
	}
	v.out.printf("\n")
	return paper.Text(v.out.to, sheet, v.out.width())
}

// showNotes says what a sheet without steps has to say.
func (v *view) showNotes(sheet paper.Sheet) {
	for _, text := range sheet.Problems {
		v.out.lines("  ", "    ", "note: "+text)
	}
	for _, text := range sheet.Loses {
		v.out.lines("  ", "    ", "note: "+text)
	}
}

// showWay gives a plan that nobody goes yet as the answer.
func (v *view) showWay(p *files.Studio, made *plan.Plan) error {
	if v.out.json {
		return v.out.answer(made)
	}
	v.out.printf("%s\n", effort(made))
	return paper.Text(v.out.to, paper.FromPlan(p.Studio, made, paper.Caption{}), v.out.width())
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
