package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/session"
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

// ask asks something of the room, and gives the room as the answer. An act that
// was not taken is an error, and a person is told the reason alone. What devices have
// not done of an act that was taken ends the command with their status where it was
// asked of the matrices, and is only told where it was a person's word.
func (v *view) ask(ctx context.Context, p *files.Studio, room keep.Room, act keep.Act) error {
	got, err := room.Act(ctx, act)
	if err != nil && !v.out.json && ctx.Err() == nil {
		return v.refusal(p, act, err)
	}
	if err != nil && got.Status.Seq == 0 {
		return err
	}
	if problem := v.showAnswer(p, got, act); problem != nil {
		return problem
	}
	if kind, _ := keep.ActKindOf(act.Do); err == nil && !kind.ByHand {
		return got.Err()
	}
	return err
}

// showAnswer prints the room after an act, and what there is to know of the act.
func (v *view) showAnswer(p *files.Studio, got keep.Answer, act keep.Act) error {
	if v.out.json {
		return v.out.answer(got)
	}
	if kind, _ := keep.ActKindOf(act.Do); kind.ByHand {
		if text := words.In(p.Studio).Taken(got); text != "" {
			v.out.lines("", "  ", text)
		}
	}
	return v.showRoom(p, got.Status)
}

// captionOf reads the sessions that a sheet of the room is about.
func captionOf(library *files.Library, p *files.Studio, s keep.Status, day time.Time) paper.Caption {
	return paper.Caption{
		Session: library.Held(p, s.Session), Date: day, Origin: origin(p.File, p.Source),
		Held: func(called string) *session.Session { return library.Held(p, called) },
	}
}

func (v *view) showRoom(p *files.Studio, s keep.Status) error {
	w := words.In(p.Studio)
	s.Problems = withCommands(s.Problems)
	if intended, standing := words.Intended(s), w.Standing(s); strings.HasPrefix(standing, intended) {
		v.out.printf("%s\n", standing) // no session recalled
	} else {
		v.out.printf("%s: %s\n", intended, standing)
	}
	for _, r := range s.Rooms {
		v.out.lines("  ", "    ", words.Put("in {session}", "session", words.InRoom(r, words.Session(r.Session))))
	}
	for _, m := range s.Matrices {
		v.showLines(w.MatrixLines(m, s.Known.Crosspoints))
	}
	v.showLines(w.BayLines(s))
	v.offerListening(p, s)
	sheet := paper.FromStatus(p.Studio, s, captionOf(v.files.library(), p, s, time.Time{}))
	if s.Session == keep.RestName {
		sheet.Loses = nil // in the rest patch everything is silent that rest does not name
	}
	if len(sheet.Lines) == 0 && len(sheet.Missing) == 0 {
		v.showNotes(sheet)
		v.showRemedies(p, s)
		return nil
	}
	v.out.printf("\n")
	if err := paper.Text(v.out.to, sheet, v.out.width()); err != nil {
		return err
	}
	v.showRemedies(p, s)
	v.showWaysOn(p, s, sheet)
	return nil
}

// withCommands are problems with the command beside what a person is asked to do that no
// remedy answers.
func withCommands(all []keep.Problem) []keep.Problem {
	all = slices.Clone(all)
	for i, q := range all {
		if q.Code == "bay-assumed" {
			all[i].Message = words.Put("{message} The command: bayhand plug JACK JACK.", "message", q.Message)
		}
	}
	return all
}

func (v *view) showLines(all []string) {
	for _, line := range all {
		v.out.lines("  ", "    ", line)
	}
}

// showWaysOn says what can be done where no step is left and something is not possible: a
// jack may be mended, and the last recall can be undone.
func (v *view) showWaysOn(p *files.Studio, s keep.Status, sheet paper.Sheet) {
	if len(sheet.Lines) > 0 || len(sheet.Missing) == 0 {
		return
	}
	v.out.printf("\n")
	var tagged []name.Point
	for _, t := range s.Tags {
		tagged = append(tagged, t.Jack)
	}
	v.showLines(words.In(p.Studio).Mended(tagged, nil))
	v.out.lines("  ", "    ", "To take the last recall back: bayhand undo")
}

// showRemedies says which commands answer the problems that there are.
func (v *view) showRemedies(p *files.Studio, s keep.Status) {
	told := map[string]bool{}
	for _, q := range s.Problems {
		for _, act := range q.Remedies {
			if command := commandOf(act); !told[command] {
				told[command] = true
				v.out.lines("  ", "    ", words.In(p.Studio).Remedy(q, act)+": "+command)
			}
		}
	}
}

// showNotes says what a sheet without steps has to say.
func (v *view) showNotes(sheet paper.Sheet) {
	for _, text := range slices.Concat(sheet.Problems, sheet.Advice) {
		v.out.lines("  ", "    ", words.Put("note: {text}", "text", text))
	}
	for _, text := range sheet.Loses {
		v.out.lines("  ", "    ", words.Put("note: {text}", "text", text))
	}
}

// showWay gives a plan that nobody goes yet as the answer.
func (v *view) showWay(p *files.Studio, made *plan.Plan) error {
	if v.out.json {
		return v.out.answer(made)
	}
	v.out.printf("%s\n", words.Effort(made))
	return paper.Text(v.out.to, paper.FromPlan(p.Studio, made, paper.Caption{}), v.out.width())
}

// warnOfStrays says which plugs a plan leaves out, since the studio no longer has their jacks.
func (v *view) warnOfStrays(p *files.Studio, s keep.Status) {
	for _, q := range s.Problems {
		if q.Code == keep.UnknownPlace {
			v.out.complain("", "  ", words.Put("warning: {text}", "text", words.In(p.Studio).Said(q.Message)))
		}
	}
}

// refusal is why an act was not taken, which leaves the room as it was. Of a daemon that
// is gone nobody knows.
func (v *view) refusal(p *files.Studio, act keep.Act, err error) error {
	var not *keep.NotGivenError
	switch {
	case errors.As(err, &not) && len(not.Missing) > 0:
		return v.showRefused(p, not, act)
	case errors.Is(err, keep.ErrStopped), keep.Code(err) == "internal":
		return err
	case not != nil && not.Stopped:
		return v.searchedTooShort(err, act)
	}
	refused := fmt.Errorf("nothing was changed: %w", err)
	if !errors.Is(err, keep.ErrBeside) {
		return refused
	}
	v.out.complain("", "  ", words.Put("bayhand: {why}", "why", refused.Error()))
	v.sayInstead(act)
	return silent(roomStatus(err))
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

// offerListening says, once the last cord is in, how to find out whether it is: where
// a cord is no more than reported and the studio has a sound device.
func (v *view) offerListening(p *files.Studio, s keep.Status) {
	unheard := slices.ContainsFunc(s.Known.Cords, func(c keep.KnownCord) bool { return c.How != keep.Measured && !c.B.IsZero() })
	if s.Phase == keep.Given && unheard && hasSound(p.Studio) {
		v.out.lines("  ", "    ", "listen? bayhand verify finds with test sound what is really plugged")
	}
}
