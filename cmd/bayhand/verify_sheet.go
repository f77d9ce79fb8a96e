package main

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"bayhand/model/name"
	"bayhand/model/suspect"
	"bayhand/recall/listen"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// fill writes the sheet of the year with what was read now.
func (l *listening) fill(out *output, f forms, found *listen.Answer) error {
	size, err := paper.ParseSize(f.size)
	if err != nil {
		return wrongUsage("--size: %w", err)
	}
	form, err := l.yearly(found.Record(today()))
	if err != nil {
		return err
	}
	err = out.print(f.filled, func(page *bytes.Buffer) ([]paper.Warning, error) { return paper.CheckupPDF(page, form, size) })
	if err == nil && !out.json {
		out.printf("%s is written\n", f.filled)
	}
	return err
}

// yearly is the sheet that is filed once a year: every path and every input against
// the reading that was kept. What is read now stands beside it; where it is nil there is
// room for it.
func (l *listening) yearly(now *listen.Kept) (paper.Checkup, error) {
	w := l.wording()
	var kept *listen.Kept
	if l.file != "" {
		var err error
		if kept, err = listen.LoadKept(l.file); err != nil {
			return paper.Checkup{}, err
		}
	}
	says := "No reading was kept for this session yet: bayhand verify --keep keeps one that is as it should be."
	switch {
	case kept != nil && now != nil:
		says = words.Put("The reference was kept on {made}. Beside it stands what was read on {now}.", "made", kept.Made, "now", now.Made)
	case kept != nil:
		says = words.Put("The reference was kept on {made}. Write beside it what is read now: bayhand verify --all says every path.", "made", kept.Made)
	}
	c := l.checkup("The sheet of the year", says)
	paths := paper.CheckupPart{Title: "Paths", Columns: []paper.CheckupColumn{
		{Head: "output", From: 0}, {Head: "input", From: 0.17}, {Head: "dB", From: 0.36}, {Head: "pol.", From: 0.445}, {Head: "band, Hz", From: 0.5},
		{Head: "now, dB", From: 0.64}, {Head: "pol.", From: 0.76}, {Head: "band, Hz", From: 0.815}, {Head: "ok", From: 0.95}}}
	inputs := paper.CheckupPart{Title: "Inputs", Columns: []paper.CheckupColumn{
		{Head: "input", From: 0}, {Head: "noise, dBFS", From: 0.19}, {Head: "hum, dBFS", From: 0.33}, {Head: "noise now", From: 0.6}, {Head: "hum now", From: 0.75}, {Head: "ok", From: 0.95}}}
	if kept == nil {
		kept = l.due()
	}
	paths.Rows, inputs.Rows = pathRows(w, kept, now), inputRows(w, kept, now)
	c.Parts = []paper.CheckupPart{
		{Title: "Before the sound", Ticks: []string{"Loudspeakers down, headphones off the ears, phantom power off, nobody's hands at the bay"}}, paths, inputs,
		{Title: "Seen and mended", Ticks: []string{"Cords that crackle or were named twice this year are taken out", "Jacks that were tagged are cleaned or changed", "The new reading is kept: bayhand verify --keep"}}}
	return c, nil
}

// due is what should be read where no reference was kept: its levels alone, of paths through
// metal, and nothing of inputs. A level that is not judged is no number.
func (l *listening) due() *listen.Kept {
	scene, made := l.plan.Scene(l.plan.Inputs()), &listen.Kept{}
	for i, in := range scene.Inputs {
		made.Inputs = append(made.Inputs, listen.InputJSON{Input: in, Noise: math.NaN()})
		for o, out := range scene.Outputs {
			e := scene.Expected(o, i)
			if e.Class == suspect.Absent {
				continue
			}
			if !e.Judged {
				e.Level = math.NaN()
			}
			made.Paths = append(made.Paths, listen.KeptPath{Output: out, Input: in, Level: e.Level})
		}
	}
	return made
}

// pathRows are the paths of the reference with those that are read now beside them, and
// those that are only now.
func pathRows(w *listen.Wording, kept, now *listen.Kept) (rows [][]string) {
	read := map[suspect.Pair]listen.KeptPath{}
	if now != nil {
		for _, p := range now.Paths {
			read[suspect.Pair{Output: p.Output, Input: p.Input}] = p
		}
	}
	row := func(output, input name.Point, cells ...string) {
		rows = append(rows, append(append([]string{w.Point(output), w.Point(input)}, cells...), ""))
	}
	for _, p := range kept.Paths {
		pair := suspect.Pair{Output: p.Output, Input: p.Input}
		then, is := pathCells(p), []string{"", "", ""}
		if q, heard := read[pair]; heard {
			is = pathCells(q)
			delete(read, pair)
		} else if now != nil {
			is[0] = "not heard"
		}
		row(p.Output, p.Input, append(then, is...)...)
	}
	if now != nil {
		for _, p := range now.Paths {
			if _, left := read[suspect.Pair{Output: p.Output, Input: p.Input}]; left {
				row(p.Output, p.Input, append([]string{"none", "", ""}, pathCells(p)...)...)
			}
		}
	}
	return rows
}

// pathCells are level, polarity and band of a path, each empty where it is not known.
func pathCells(p listen.KeptPath) []string {
	cells := []string{"", p.Polarity, ""}
	if !math.IsNaN(p.Level) {
		cells[0] = fmt.Sprintf("%+.1f", p.Level)
	}
	if p.Band[1] > 0 {
		cells[2] = fmt.Sprintf("%.0f - %.0f", p.Band[0], p.Band[1])
	}
	return cells
}

// inputRows are the inputs of the reference with noise and hum, then and now.
func inputRows(w *listen.Wording, kept, now *listen.Kept) (rows [][]string) {
	read := map[name.Point][]string{}
	if now != nil {
		for _, in := range now.Inputs {
			read[in.Input] = inputCells(in)
		}
	}
	for _, in := range kept.Inputs {
		is := read[in.Input]
		if is == nil {
			is = []string{"", ""}
		}
		rows = append(rows, append(append(append([]string{w.Point(in.Input)}, inputCells(in)...), is...), ""))
	}
	return rows
}

// inputCells are noise and hum of an input.
func inputCells(in listen.InputJSON) []string {
	var hum []string
	for _, h := range in.Hum {
		hum = append(hum, fmt.Sprintf("%.0f at %.0f Hz", h.Level, h.Frequency))
	}
	noise := ""
	if !math.IsNaN(in.Noise) {
		noise = fmt.Sprintf("%.0f", in.Noise)
	}
	return []string{noise, strings.Join(hum, ", ")}
}
