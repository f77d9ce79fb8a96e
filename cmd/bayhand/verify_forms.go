package main

import (
	"bytes"

	"github.com/spf13/cobra"

	"bayhand/model/suspect"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// forms are the papers that belong to listening: the two minutes before the band
// comes, and the sheet of the year.
type forms struct{ before, yearly, filled, size string }

func (v verifying) asksForms() bool { return v.forms.before != "" || v.forms.yearly != "" }

// flags are those of the forms.
func (f *forms) flags(c *cobra.Command) {
	set := c.Flags()
	set.StringVar(&f.before, "before", "", "play nothing, and write the form of the two minutes before the band comes to `FILE.pdf`")
	set.StringVar(&f.yearly, "yearly", "", "play nothing, and write the sheet to be filled in once a year to `FILE.pdf`")
	set.StringVar(&f.filled, "filled", "", "listen, and write the sheet of the year with what was read to `FILE.pdf`")
	set.StringVar(&f.size, "size", "a4", "of the paper: a4, a3, letter or WxH in millimetres")
	for _, file := range []string{"before", "yearly", "filled"} {
		must(c.MarkFlagFilename(file, "pdf"))
	}
}

// check refuses a sheet that could not be written, before anything is heard.
func (f forms) check() error {
	if f.filled == "" {
		return nil
	}
	if _, err := paper.ParseSize(f.size); err != nil {
		return wrongUsage("--size: %w", err)
	}
	return writable(f.filled, pdfBegins)
}

// print writes the forms that are asked for before anything is heard. Nothing is played.
func (l *listening) print(out *output, f forms) error {
	size, err := paper.ParseSize(f.size)
	if err != nil {
		return wrongUsage("--size: %w", err)
	}
	var files []string
	wanted := []struct {
		file string
		form func() (paper.Checkup, error)
	}{{f.before, l.before}, {f.yearly, func() (paper.Checkup, error) { return l.yearly(nil) }}}
	for _, one := range wanted {
		if one.file == "" {
			continue
		}
		if err := writable(one.file, pdfBegins); err != nil {
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
