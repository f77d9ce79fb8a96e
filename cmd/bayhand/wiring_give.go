package main

import (
	"bytes"
	"errors"
	"strconv"

	"bayhand/model/check"
	"bayhand/model/schedule"
	"bayhand/recall/files"
	"bayhand/recall/paper"
)

var errNumbering = errors.New("the file would read otherwise with numbers in it, and nothing was written; write cable: by hand at its lines")

// giveWiring prints the schedule, or writes what was asked for.
func giveWiring(o *output, p *files.Studio, w wiringAsk, to press, all schedule.Schedule, before *schedule.Schedule, kit *schedule.Kit) error {
	l, found := scheduled(p, all, w.gear+w.bay)
	l.Pins, l.BuyToo, l.Kit = w.pins, w.buy || before == nil, kit
	changes := []schedule.Change{}
	if before != nil {
		l.Title = "Cables to make, change and take out"
		changes = schedule.Since(*before, all)
		l.Groups = paper.Changed(changes)
	}
	written, err := writeWiring(o, w, to, l, all)
	if err != nil {
		return err
	}
	switch {
	case o.json && before != nil:
		return o.answer(map[string]any{"changes": changes})
	case o.json:
		return o.answer(cabled{all, found, kit})
	case written:
		return nil
	}
	sayWiring(o, w, l)
	return nil
}

// scheduled is a schedule to print, with what check finds about its cables: of one owner,
// or of all where that is empty.
func scheduled(p *files.Studio, all schedule.Schedule, owner string) (paper.Wiring, []check.Finding) {
	l := paper.Wiring{Studio: p.Studio.Name, Date: today(), Origin: origin(p.File, p.Source), Title: "Cable schedule",
		Groups: paper.Grouped(p.Studio, all), Buy: all.Buy, BuyToo: true}
	found := p.CableFindings(owner, all)
	for _, f := range found {
		l.Problems = append(l.Problems, f.Message+"; "+f.Hint)
	}
	return l, found
}

// cabled is the answer of wiring: the schedule, and what check finds about cables.
type cabled struct {
	schedule.Schedule
	Problems []check.Finding `json:"problems"`
	Kit      *schedule.Kit   `json:"kit,omitempty"`
}

// writeWiring writes the files that were asked for, and is false where none was.
func writeWiring(o *output, w wiringAsk, to press, l paper.Wiring, all schedule.Schedule) (bool, error) {
	var written []string
	if to.file != "" {
		err := o.print(to.file, func(page *bytes.Buffer) ([]paper.Warning, error) {
			return paper.WiringPDF(page, l, to.size, to.fonts...)
		})
		if err != nil {
			return true, err
		}
		written = append(written, to.file)
	}
	if w.wraps != "" {
		err := o.print(w.wraps, func(page *bytes.Buffer) ([]paper.Warning, error) {
			return paper.WrapsPDF(page, l, to.size, to.fonts...)
		})
		if err != nil {
			return true, err
		}
		written = append(written, w.wraps)
	}
	if w.csv != "" {
		var table bytes.Buffer
		if err := schedule.WriteCSV(&table, all); err != nil {
			return true, err
		}
		if err := write(w.csv, table.Bytes()); err != nil {
			return true, err
		}
		written = append(written, w.csv)
	}
	if !o.json {
		for _, file := range written {
			o.printf("%s is written\n", file)
		}
	}
	return len(written) > 0, nil
}

// sayWiring prints the schedule by where one stands.
func sayWiring(o *output, w wiringAsk, l paper.Wiring) {
	for _, problem := range l.Problems {
		o.lines("", "  ", problem)
	}
	if len(l.Groups) == 0 {
		o.printf("%s\n", map[bool]string{true: "nothing is to be done", false: "nothing is wired yet"}[w.since != ""])
	}
	if !w.buy || w.since != "" {
		for i, g := range l.Groups {
			if i > 0 {
				o.printf("\n")
			}
			o.printf("%s\n", g.Title)
			if g.Caution != "" {
				o.lines("  ", "  ", g.Caution)
			}
			for _, c := range g.Cables {
				sayCable(o, c, w.pins)
			}
		}
	}
	if w.buy {
		o.printf("To buy, with a tenth more of cable\n")
		for _, line := range paper.BuyLines(l.Buy) {
			o.lines("  ", "    ", line)
		}
	}
	if l.Kit != nil {
		o.printf("%s\n", paper.KitTitle)
		for _, line := range paper.KitLines(*l.Kit) {
			o.lines("  ", "    ", line)
		}
	}
}

func sayCable(o *output, c paper.WiringCable, pins bool) {
	head := c.Headline()
	if len(c.Pairs) == 1 {
		head += ": " + paper.PairText(c.Pairs[0])
	}
	o.lines("  ", "      ", head)
	for _, what := range c.Changes {
		o.lines("      ", "        ", what)
	}
	for _, p := range c.Pairs {
		if len(c.Pairs) > 1 {
			o.lines("    ", "      ", strconv.Itoa(p.Pair)+"  "+paper.PairText(p))
		}
		for _, note := range paper.Notes(p, pins) {
			o.lines("      ", "        ", note)
		}
	}
}
