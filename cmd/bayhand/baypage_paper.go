package main

import (
	"bytes"
	"context"
	"slices"

	"bayhand/model/plan"
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
		all := schedule.Of(read.Studio)
		l := paper.Wiring{Studio: read.Studio.Name, Date: today(), Origin: origin(read.File, read.Source), Title: "Cable schedule",
			Groups: paper.Grouped(read.Studio, all), Buy: all.Buy, BuyToo: true}
		_, err = paper.WiringPDF(&out, l, paper.A4)
	default:
		return nil, page.ErrNoPaper
	}
	return out.Bytes(), err
}

func (p *bayPage) recallPaper(ctx context.Context, out *bytes.Buffer, read *files.Studio, called, address string) error {
	if !slices.Contains(p.library.Place().Names(), called) {
		return page.ErrNoPaper
	}
	s, err := p.library.Session(read, called)
	if err != nil {
		return err
	}
	if !s.Sound() {
		return s.Problems
	}
	sheet, _, err := planned(ctx, read, s, p.library.Place().Session(called), plan.Request{Studio: read.Studio, From: read.Studio.Rest.Clone(), Session: s.Session, Partly: true})
	if err != nil {
		return err
	}
	sheet.Known = "The way begins at rest. " + patchWords(s, sheet)
	sheet.Date, sheet.Address = today(), pageOf(address, called)
	_, err = paper.RecallPDF(out, sheet, paper.A4)
	return err
}
