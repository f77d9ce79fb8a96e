package main

import (
	"bytes"
	"context"
	"slices"

	"bayhand/model/level"
	"bayhand/model/schedule"
	"bayhand/model/session"
	"bayhand/model/strip"
	"bayhand/recall/files"
	"bayhand/recall/page"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// paper makes a paper of the room as its files are now, on A4.
func (p *bayPage) paper(ctx context.Context, kind, called, address string) ([]byte, error) {
	read, err := p.sound()
	if err != nil {
		return nil, err
	}
	if called != "" && !slices.Contains([]string{"recall", "levels", "strips"}, kind) {
		return nil, page.ErrNoPaper // a paper of the room, of no session
	}
	var out bytes.Buffer
	switch kind {
	case "recall":
		err = p.recallPaper(ctx, &out, read, called, address)
	case "wall", "form":
		l := paper.Wall{Room: read.Room, Date: today(), Origin: origin(read.File, read.Source)}
		draw := paper.WallPDF
		if kind == "form" {
			draw = paper.BlankPDF
		}
		_, err = draw(&out, l, paper.A4)
	case "strips", "rear-strips":
		err = p.strips(&out, read, called, kind == "rear-strips")
	case "wraps":
		l, _ := scheduled(read, schedule.Of(read.Studio), "")
		_, err = paper.WrapsPDF(&out, l, paper.A4)
	case "levels":
		err = p.levels(ctx, &out, read, called)
	case "cords":
		err = p.cordsPaper(ctx, &out, read)
	case "before", "yearly":
		err = p.checkup(ctx, &out, kind == "yearly")
	case "schedule":
		l, _ := scheduled(read, schedule.Of(read.Studio), "")
		_, err = paper.WiringPDF(&out, l, paper.A4)
	default:
		return nil, page.ErrNoPaper
	}
	return out.Bytes(), err
}

// recallPaper is the sheet of a session by the way from the room as it is now.
func (p *bayPage) recallPaper(ctx context.Context, out *bytes.Buffer, read *files.Studio, called, address string) error {
	sheet, err := p.recallSheet(ctx, read, called)
	if err != nil {
		return err
	}
	sheet.Date, sheet.Address = today(), pageOf(address, called)
	_, err = paper.RecallPDF(out, sheet, paper.A4)
	return err
}

// cordsPaper has the steps that are left in the room.
func (p *bayPage) cordsPaper(ctx context.Context, out *bytes.Buffer, read *files.Studio) error {
	status, err := p.room.Status(ctx)
	if err != nil {
		return err
	}
	_, err = paper.PDF(out, paper.FromStatus(read.Studio, status, captionOf(p.library, read, status, today())), paper.A4)
	return err
}

// strips are those of all bays, from behind or from the front, and with a session those
// that name its lines.
func (p *bayPage) strips(out *bytes.Buffer, read *files.Studio, called string, rear bool) error {
	l := paper.Labels{Studio: read.Studio.Name, Title: "Label strips", Date: today(), Origin: origin(read.File, read.Source)}
	o := strip.Options{Paper: paper.StripRoom(paper.A4), Rear: rear}
	if called != "" {
		s, err := p.named(read, called)
		if err != nil {
			return err
		}
		o.Session, l.Title = s.Session, words.Put("{strips} for {session}", "strips", l.Title, "session", s.Session.Title)
	}
	for _, b := range read.Studio.Bays {
		l.Strips = append(l.Strips, strip.Of(read.Studio, b, o)...)
	}
	_, err := paper.LabelsPDF(out, l, paper.A4)
	return err
}

// levels are the gain plan of a session, or of the rest patch.
func (p *bayPage) levels(ctx context.Context, out *bytes.Buffer, read *files.Studio, called string) error {
	title, of, in := "in the rest patch", &session.Session{}, read.Studio.Rest
	if called != "" {
		s, err := p.named(read, called)
		if err != nil {
			return err
		}
		status, err := p.room.Status(ctx)
		if err != nil {
			return err
		}
		if in, _, err = givenBy(ctx, read, s.Session, inRoom(status, s.Name), nil); err != nil {
			return err
		}
		title, of = s.Session.Title, s.Session
	}
	_, err := paper.LevelsPDF(out, levelsPaper(read, title, of, in, level.Options{}), paper.A4)
	return err
}

// named is a session of the folder that has no errors.
func (p *bayPage) named(read *files.Studio, called string) (*files.Session, error) {
	if !slices.Contains(p.library.Place().Names(), called) {
		return nil, page.ErrNoPaper
	}
	s, err := p.library.Session(read, called)
	if err == nil && !s.Sound() {
		err = s.Problems
	}
	return s, err
}

func (p *bayPage) recallSheet(ctx context.Context, read *files.Studio, called string) (paper.Recall, error) {
	s, err := p.named(read, called)
	if err != nil {
		return paper.Recall{}, err
	}
	status, err := p.room.Status(ctx)
	if err != nil {
		return paper.Recall{}, err
	}
	return startIn(read, status, func(other string) *session.Session { return p.library.Held(read, other) }).sheet(ctx, read, s, p.library.Place().Session(called))
}
