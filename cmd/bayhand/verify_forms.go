package main

import (
	"bytes"
	"fmt"

	"bayhand/model/suspect"
	"bayhand/recall/listen"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// forms are the papers that belong to listening: the two minutes before the band
// comes, and the sheet of the year.
type forms struct{ before, yearly, size string }

func (v verifying) asksForms() bool { return v.forms.before != "" || v.forms.yearly != "" }

// print writes the forms that are asked for. Nothing is played.
func (l *listening) print(out *output, f forms) error {
	size, err := paper.ParseSize(f.size)
	if err != nil {
		return wrongUsage("--size: %w", err)
	}
	var files []string
	wanted := []struct {
		file string
		form func() (paper.Checkup, error)
	}{{f.before, l.before}, {f.yearly, l.yearly}}
	for _, one := range wanted {
		if one.file == "" {
			continue
		}
		if err := writable(one.file); err != nil {
			return err
		}
		form, err := one.form()
		if err != nil {
			return err
		}
		err = out.print(one.file, func(page *bytes.Buffer) ([]paper.Warning, error) { return paper.CheckupPDF(page, form, size) })
		if err != nil {
			return err
		}
		files = append(files, one.file)
	}
	for _, file := range files {
		if !out.json {
			out.printf("%s is written\n", file)
		}
	}
	if out.json {
		return out.answer(map[string]any{"files": files})
	}
	return nil
}

// checkup is a form with what both have in common.
func (l *listening) checkup(title, says string) paper.Checkup {
	c := paper.Checkup{Title: title, Says: says, Studio: l.studio.Studio.Name, Date: today(), Origin: origin(l.studio.File, l.studio.Source)}
	if s := l.plan.Session; s.Name != "" {
		c.Session = s.Title
		if c.Session == "" {
			c.Session = s.Name
		}
	}
	return c
}

// before is the form of the two minutes before the band comes: what protects ears and
// gear, the test sound, what no test sound shows, and what each destination must hear.
func (l *listening) before() (paper.Checkup, error) {
	w := l.wording()
	c := l.checkup("Two minutes before the band comes", "Your ears are the last judge: what test sound cannot show is followed by ear, quietly.")
	command := "bayhand verify"
	if l.plan.Session.Name != "" {
		command += " " + l.plan.Session.Name
	}
	c.Parts = []paper.CheckupPart{
		{Title: "Before the sound", Ticks: []string{
			"Loudspeakers down, headphones down and off the ears", "Phantom power off", "Nobody's hands at the bay"}},
		{Title: "Listen", Ticks: []string{words.Put("{command}: as it should be", "command", command), "Mended: ________________________________________"}},
	}
	ear := paper.CheckupPart{Title: "By ear: no test sound shows these cords from here"}
	if len(l.plan.Driven) == 0 {
		ear.Title = "By ear: no test sound may be played here"
	}
	for _, s := range l.sights() {
		if !s.Seen {
			ear.Ticks = append(ear.Ticks, w.Point(s.Cord.A)+" - "+w.Point(s.Cord.B))
		}
	}
	wants := paper.CheckupPart{Title: "Heard at each destination"}
	for _, want := range l.plan.Session.Wants {
		wants.Ticks = append(wants.Ticks, w.Point(want.Source)+" -> "+w.Point(want.Destination))
	}
	last := paper.CheckupPart{Title: "Then", Ticks: []string{
		"Phantom power on where a microphone wants it, each with its channel muted", "Loudspeakers and headphones up slowly, from nothing", "Talkback is heard in the live room"}}
	c.Parts = append(c.Parts, ear, wants, last)
	return c, nil
}

func (l *listening) sights() []suspect.Sight { return l.plan.Scene(l.plan.Inputs()).Sights() }

// yearly is the sheet that is filed once a year: every path and every input against
// the reading that was kept, with room for this year's.
func (l *listening) yearly() (paper.Checkup, error) {
	w := l.wording()
	var kept *listen.Kept
	if l.file != "" {
		var err error
		if kept, err = listen.LoadKept(l.file); err != nil {
			return paper.Checkup{}, err
		}
	}
	says := "No reading was kept for this session yet: bayhand verify --keep keeps one that is as it should be."
	if kept != nil {
		says = words.Put("The reference was kept on {made}. Write beside it what is read now: bayhand verify --all says every path.", "made", kept.Made)
	}
	c := l.checkup("The sheet of the year", says)
	paths := paper.CheckupPart{Title: "Paths", Columns: []paper.CheckupColumn{
		{Head: "output", From: 0}, {Head: "input", From: 0.17}, {Head: "dB", From: 0.36}, {Head: "pol.", From: 0.445}, {Head: "band, Hz", From: 0.5},
		{Head: "now, dB", From: 0.64}, {Head: "pol.", From: 0.76}, {Head: "band, Hz", From: 0.815}, {Head: "ok", From: 0.95}}}
	inputs := paper.CheckupPart{Title: "Inputs", Columns: []paper.CheckupColumn{
		{Head: "input", From: 0}, {Head: "noise, dBFS", From: 0.19}, {Head: "hum, dBFS", From: 0.33}, {Head: "noise now", From: 0.6}, {Head: "hum now", From: 0.75}, {Head: "ok", From: 0.95}}}
	paths.Rows, inputs.Rows = l.rows(w, kept)
	c.Parts = []paper.CheckupPart{
		{Title: "Before the sound", Ticks: []string{"Loudspeakers down, headphones off the ears, phantom power off, nobody's hands at the bay"}}, paths, inputs,
		{Title: "Seen and mended", Ticks: []string{"Cords that crackle or were named twice this year are taken out", "Jacks that were tagged are cleaned or changed", "The new reading is kept: bayhand verify --keep"}}}
	return c, nil
}

// rows are the paths and inputs of the reference; without one, those that should be.
func (l *listening) rows(w *listen.Wording, kept *listen.Kept) (paths, inputs [][]string) {
	if kept != nil {
		for _, p := range kept.Paths {
			paths = append(paths, []string{w.Point(p.Output), w.Point(p.Input), fmt.Sprintf("%+.1f", p.Level), p.Polarity, fmt.Sprintf("%.0f - %.0f", p.Band[0], p.Band[1]), "", "", "", ""})
		}
		for _, in := range kept.Inputs {
			hum := ""
			for _, h := range in.Hum {
				if hum != "" {
					hum += ", "
				}
				hum += fmt.Sprintf("%.0f at %.0f Hz", h.Level, h.Frequency)
			}
			inputs = append(inputs, []string{w.Point(in.Input), fmt.Sprintf("%.0f", in.Noise), hum, "", "", ""})
		}
		return paths, inputs
	}
	scene := l.plan.Scene(l.plan.Inputs())
	for i, in := range scene.Inputs {
		inputs = append(inputs, []string{w.Point(in), "", "", "", "", ""})
		for o, out := range scene.Outputs {
			e := scene.Expected(o, i)
			if e.Class == suspect.Absent {
				continue
			}
			level := ""
			if e.Judged {
				level = fmt.Sprintf("%+.1f", e.Level)
			}
			paths = append(paths, []string{w.Point(out), w.Point(in), level, "", "", "", "", "", ""})
		}
	}
	return paths, inputs
}
