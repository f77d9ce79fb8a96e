package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/strip"
	"bayhand/model/studio"
	"bayhand/recall/files"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// labelling is what labels is asked for.
type labelling struct {
	printing
	bays             []string
	rear             bool
	svg              string
	session, changed string
}

func labelsCommand(a *app) *cobra.Command {
	var w labelling
	c := &cobra.Command{
		Use:   "labels [BAY...]",
		Short: "Strips that name the jacks of a bay, at their true size",
		Long: `Make the strips of paper that stand above the jacks of a bay, between its rows
and below them, or at its rear, as a PDF to print or as SVG files. Without
--paper and --svg it prints what stands on them. A text that does not fit is set
by its short form, squeezed, smaller, and at last cut; what was cut is said.

Print at 100 % and measure the rulers on the page.`,
		Example:           "  bayhand labels --paper strips.pdf\n  bayhand labels main --rear --paper rear.pdf\n  bayhand labels --svg strips --session tern-mix-2",
		ValidArgsFunction: completeFrom(func(context.Context) []string { return namesIn(a, bayNames) }),
		RunE: func(_ *cobra.Command, args []string) error {
			w.bays = args
			return runLabels(a, w)
		},
	}
	w.flags(c, "the strips")
	c.Flags().StringVar(&w.svg, "svg", "", "write each strip to a file of its own in `DIR`")
	c.Flags().BoolVar(&w.rear, "rear", false, "those of the rear, as seen from behind, with the numbers of cables")
	c.Flags().StringVar(&w.session, "session", "", "with the names of the lines of session `S`")
	c.Flags().StringVar(&w.changed, "changed", "", "only strips that differ from those in `FILE`, which --json printed before")
	must(c.MarkFlagDirname("svg"))
	must(c.MarkFlagFilename("changed", "json"))
	must(c.RegisterFlagCompletionFunc("session", completeSessions(a)))
	return c
}

func bayNames(s *studio.Studio) []string {
	var all []string
	for _, b := range s.Bays {
		all = append(all, b.Name)
	}
	return all
}

// hasBays refuses what is made of bays where there are none.
func hasBays(s *studio.Studio, what string) error {
	if len(s.Bays) > 0 {
		return nil
	}
	return fmt.Errorf("the studio has no bay, and so no %s; write bays: in its file", what)
}

func runLabels(a *app, w labelling) error {
	to, err := w.ready()
	if err != nil {
		return err
	}
	if err := readyFolder(w.svg); err != nil {
		return err
	}
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	if err := hasBays(p.Studio, "strip"); err != nil {
		return err
	}
	var in *files.Session
	if w.session != "" {
		if in, err = a.files.session(p, w.session); err != nil {
			return err
		}
	}
	before, err := stripsIn(w.changed)
	if err != nil {
		return err
	}
	strips, err := w.strips(p.Studio, in, to)
	if err != nil {
		return err
	}
	if w.changed != "" {
		strips = slices.DeleteFunc(strips, func(s strip.Strip) bool {
			return slices.ContainsFunc(before, func(t strip.Strip) bool { return reflect.DeepEqual(s, t) })
		})
	}
	return giveLabels(a.out, p, w, to, in, strips)
}

// readyFolder is a folder that is there, or can be made, or is not asked for.
func readyFolder(folder string) error {
	if folder == "" {
		return nil
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return wrongUsage("the folder %s cannot be made: %s", folder, files.Reason(err))
	}
	return writable(filepath.Join(folder, "strip.svg"), svgBegins)
}

// stripsIn are those of an earlier answer; none where no file is asked for.
func stripsIn(file string) ([]strip.Strip, error) {
	if file == "" {
		return nil, nil
	}
	src, err := named("the file of strips", file, "give a file that labels --json printed")
	if err != nil {
		return nil, err
	}
	var before labelsAnswer
	if err := json.Unmarshal(src, &before); err != nil || before.Strips == nil {
		return nil, wrongUsage("%s holds no strips; give a file that labels --json printed", file)
	}
	return before.Strips, nil
}

// strips are those of the bays that are asked for, in pieces for the paper where
// paper is asked for.
func (w labelling) strips(s *studio.Studio, in *files.Session, to press) ([]strip.Strip, error) {
	ruler, err := paper.StripRuler(to.fonts...)
	if err != nil {
		return nil, err
	}
	o := strip.Options{Rear: w.rear, Ruler: ruler}
	if in != nil {
		o.Session = in.Session
	}
	if to.file != "" {
		o.Paper = paper.StripRoom(to.size)
	}
	for _, called := range w.bays {
		if !slices.Contains(bayNames(s), called) {
			return nil, unknownName(called, bayNames(s), "no bay is called %q; there are %s", called, strings.Join(bayNames(s), ", "))
		}
	}
	all := []strip.Strip{}
	for _, b := range s.Bays {
		if len(w.bays) > 0 && !slices.Contains(w.bays, b.Name) {
			continue
		}
		if long := strip.Length(b); long > strip.Longest {
			return nil, wrongUsage("the strips of %s would be %v long, and none is longer than %v; look at its pitch and its lead-in", b.Name, long, strip.Longest)
		}
		all = append(all, strip.Of(s, b, o)...)
	}
	return all, nil
}

// labelsAnswer is the answer of labels.
type labelsAnswer struct {
	Strips []strip.Strip `json:"strips"`
	Files  []string      `json:"files,omitempty"`
}

func giveLabels(o *output, p *files.Studio, w labelling, to press, in *files.Session, strips []strip.Strip) error {
	answer := labelsAnswer{Strips: strips}
	if to.file != "" {
		l := paper.Labels{Studio: p.Studio.Name, Title: "Label strips", Date: today(), Origin: origin(p.File, p.Source), Strips: strips}
		if in != nil {
			l.Title = words.Put("{strips} for {session}", "strips", l.Title, "session", in.Session.Title)
		}
		err := o.print(to.file, func(page *bytes.Buffer) ([]paper.Warning, error) {
			return paper.LabelsPDF(page, l, to.size, to.fonts...)
		})
		if err != nil {
			return err
		}
		answer.Files = append(answer.Files, to.file)
	}
	if w.svg != "" {
		drawn, err := writeSVG(w.svg, strips)
		if err != nil {
			return err
		}
		answer.Files = append(answer.Files, drawn...)
	}
	if o.json {
		return o.answer(answer)
	}
	o.sayLabels(answer)
	return nil
}

func writeSVG(folder string, strips []strip.Strip) ([]string, error) {
	var drawn []string
	for _, s := range strips {
		name := s.Bay + "-" + strings.ReplaceAll(string(s.Row), " ", "-")
		if s.Pieces > 1 {
			name += "-" + string(rune('a'+s.Piece-1))
		}
		file := filepath.Join(folder, name+".svg")
		if err := write(file, paper.StripSVG(s)); err != nil {
			return drawn, err
		}
		drawn = append(drawn, file)
	}
	return drawn, nil
}

// sayLabels prints what stands on the strips where nothing was written, and in any
// case what had to be cut or numbered.
func (o *output) sayLabels(answer labelsAnswer) {
	for _, file := range answer.Files {
		o.printf("%s is written\n", file)
	}
	if len(answer.Strips) == 0 {
		o.printf("no strip differs\n")
	}
	if len(answer.Files) == 0 {
		for _, s := range answer.Strips {
			o.listStrip(s)
		}
	}
	for _, remark := range strip.Remarks(answer.Strips) {
		o.complainf("%s%s\n", remark, hinted(remark.Hint))
	}
}

func (o *output) listStrip(s strip.Strip) {
	o.printf("%s, %s: %v by %v\n", s.Label, s.Row, s.Length, s.Height)
	for _, r := range s.Runs {
		cells := []string{}
		for _, c := range s.Cells {
			if within(c.Column, r.First, r.Last) && len(c.Text.Lines) > 0 {
				cells = append(cells, strings.Join(c.Text.Lines, " "))
			}
		}
		text := columnsText(r) + "  " + strings.Join(r.Text.Lines, " ")
		if len(cells) > 0 {
			text += ": " + strings.Join(cells, " ")
		}
		o.lines("  ", "      ", text)
	}
}

func within(column, first, last int) bool {
	return column >= min(first, last) && column <= max(first, last)
}

// columnsText is 3 or 3-8.
func columnsText(r strip.Run) string {
	text := strconv.Itoa(r.First)
	if r.Last != r.First {
		text += "-" + strconv.Itoa(r.Last)
	}
	return text
}

func hinted(hint string) string {
	if hint == "" {
		return ""
	}
	return "; " + hint
}
