package main

import (
	"bytes"
	"context"
	"slices"

	"bayhand/model/schedule"
	"bayhand/model/strip"
	"bayhand/recall/files"
	"bayhand/recall/page"
	"bayhand/recall/paper"
)

// paper makes a paper of the room as its files are now, on A4.
func (p *bayPage) paper(ctx context.Context, kind, session, address string) ([]byte, error) {
	read, err := p.sound()
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	switch kind {
	case "recall":
		err = p.recallPaper(ctx, &out, read, session, address)
	case "wall", "form":
		l := paper.Wall{Room: read.Room, Date: today(), Origin: origin(read.File, read.Source)}
		draw := paper.WallPDF
		if kind == "form" {
			draw = paper.BlankPDF
		}
		_, err = draw(&out, l, paper.A4)
	case "strips":
		l := paper.Labels{Studio: read.Studio.Name, Title: "Label strips", Date: today(), Origin: origin(read.File, read.Source)}
		for _, b := range read.Studio.Bays {
			l.Strips = append(l.Strips, strip.Of(read.Studio, b, strip.Options{Paper: paper.StripRoom(paper.A4)})...)
		}
		_, err = paper.LabelsPDF(&out, l, paper.A4)
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

func (p *bayPage) recallSheet(ctx context.Context, read *files.Studio, called string) (paper.Recall, error) {
	if !slices.Contains(p.library.Place().Names(), called) {
		return paper.Recall{}, page.ErrNoPaper
	}
	s, err := p.library.Session(read, called)
	if err != nil {
		return paper.Recall{}, err
	}
	if !s.Sound() {
		return paper.Recall{}, s.Problems
	}
	status, err := p.room.Status(ctx)
	if err != nil {
		return paper.Recall{}, err
	}
	return startIn(read, status).sheet(ctx, read, s, p.library.Place().Session(called))
}
