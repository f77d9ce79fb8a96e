package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/arrange"
	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/text"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/paper"
)

// arranging is how a layout is wished, from the flags.
type arranging struct {
	bays, keep, also, waive []string
	weights, atRest         string
	moves, tidy, effort     int
	write                   bool
	printing                printing
}

func arrangeCommand(a *app) *cobra.Command {
	var w arranging
	c := &cobra.Command{
		Use:        "arrange [SESSION...]",
		SuggestFor: []string{"layout"},
		Short:      "Propose what lands where on the bays, and which pairs normal",
		Long: `Propose what stands where on the bays and what each pair does, so that the
sessions take the fewest plugs from rest and the wiring few lines; all sessions
in the folder where none is named. In a room that is wired, columns with a
matrix, a tie, a mult, a tagged jack, or an output below or an input above stay
as they are. Nothing is written without --write, and nothing is moved by it: it
is you who solders. What is claimed is recomputed by the planner, session by
session.

Rules of the trade are kept unless they are waived:
` + strings.Join(wrapped("", "", strings.Join(ruleNames(), ", ")+"."), "\n"),
		Example: `  bayhand arrange
  bayhand arrange --moves 6
  bayhand arrange --tidy 10 --keep desk,main/t1-8
  bayhand arrange --paper map.pdf
  bayhand arrange --write`,
		Args:              arguments(0, -1),
		ValidArgsFunction: completeSessions(a),
		RunE:              func(c *cobra.Command, args []string) error { return runArrange(c.Context(), a, args, w) },
	}
	w.printing.flags(c, "the map of the bays")
	f := c.Flags()
	f.StringSliceVar(&w.bays, "bay", nil, "only this `BAY`; may be given several times")
	f.StringVar(&w.weights, "weights", "said", "how much a session counts: even, said (weight: in its file) or history (its recalls)")
	f.StringVar(&w.atRest, "at-rest", "", "the `SESSION` whose silent and kept destinations get no normal")
	f.StringArrayVar(&w.keep, "keep", nil, "gear, ports or jacks that stay where they are; all, none, or a `FILE.txt` with one a line")
	f.StringArrayVar(&w.also, "add", nil, "gear or ports that are on no bay yet and shall come to one")
	f.IntVar(&w.moves, "moves", -1, "at most `N` ports change their jack (default: any number)")
	f.IntVar(&w.tidy, "tidy", 5, "what a line of wiring is worth, in tenths of a plug a session: 0 to 10")
	f.StringSliceVar(&w.waive, "waive", nil, "let this `RULE` of the trade go")
	f.BoolVar(&w.write, "write", false, "write the wiring and the modes into the studio's file")
	f.IntVar(&w.effort, "effort", 0, "bound the search (0: as suits most rooms)")
	return c
}

func ruleNames() []string {
	var all []string
	for _, rule := range arrange.AllRules() {
		all = append(all, string(rule))
	}
	return all
}

func runArrange(ctx context.Context, a *app, sessions []string, w arranging) error {
	if w.tidy < 0 || w.tidy > 10 || w.effort < 0 {
		return wrongUsage("--tidy goes from 0 to 10, and --effort from 0")
	}
	to, err := w.printing.ready()
	if err != nil {
		return err
	}
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	q, err := arrangeRequest(ctx, a, p, sessions, w)
	if err != nil {
		return err
	}
	shown := newProgress(a.out.err)
	q.Progress = shown.work
	made, err := arrange.Propose(ctx, q)
	shown.end()
	if err != nil {
		return &failure{cannot, err}
	}
	wired, cannotWrite := text.Rewire(p.Source, made.Layout.Apply())
	if cannotWrite == nil {
		made.Findings = placedFindings(p, wired, made.Findings)
		a.out.report(made.Findings, map[string][]byte{p.File: wired})
	}
	if to.file != "" {
		if err := printMap(a.out, p, made, to); err != nil {
			return err
		}
	}
	if a.out.json {
		err = a.out.answer(made)
	} else {
		showArranged(a.out, p.Studio, made)
	}
	switch {
	case err != nil || !w.write:
		return err
	case cannotWrite != nil:
		return &failure{cannot, cannotWrite}
	}
	return writeArranged(a.out, p, wired)
}

// printMap writes the map of a proposal as a PDF page.
func printMap(out *output, p *files.Studio, made *arrange.Answer, to press) error {
	return out.print(to.file, func(page *bytes.Buffer) ([]paper.Warning, error) {
		m := paper.Map{Answer: made, Date: today(), Origin: origin(p.File, p.Source)}
		return paper.MapPDF(page, m, to.size, to.fonts...)
	})
}

// placedFindings are findings of a proposal at their places in the file that it would
// be.
func placedFindings(p *files.Studio, to []byte, found text.Problems) text.Problems {
	made, places, problems := text.ReadStudio(p.File, to)
	if problems.Errors() {
		return problems
	}
	said := map[string]bool{}
	for _, f := range found {
		said[f.Code+f.Message] = true
	}
	placed := text.Problems{}
	for _, f := range check.Studio(heard.NewRoom(made), places) {
		if said[f.Code+f.Message] {
			placed = append(placed, f)
		}
	}
	return placed
}

func arrangeRequest(ctx context.Context, a *app, p *files.Studio, sessions []string, w arranging) (arrange.Request, error) {
	q := arrange.Request{Studio: p.Studio, Tidy: w.tidy, Bays: w.bays, Moves: w.moves, Effort: w.effort}
	for _, bay := range w.bays {
		if p.Studio.BayNamed(bay) == nil {
			return q, unknownName(bay, bayNames(p.Studio), "--bay %s: the studio has no such bay", bay)
		}
	}
	for _, rule := range w.waive {
		if _, known := arrange.Rules()[arrange.Rule(rule)]; !known {
			return q, unknownName(rule, ruleNames(), "--waive %s is no rule; there are %s", rule, strings.Join(ruleNames(), ", "))
		}
		q.Waived = append(q.Waived, arrange.Rule(rule))
	}
	var err error
	if q.Fixed, err = fixedPlaces(p, w.keep); err != nil {
		return q, err
	}
	if q.Also, err = places(p, "--add", w.also); err != nil {
		return q, err
	}
	if len(sessions) == 0 {
		sessions = a.files.at.Names()
	}
	if len(sessions) == 0 {
		return q, &failure{cannot, errors.New("there is no session to arrange for; write one or two that say connect: (bayhand manual arrange has some)")}
	}
	if q.Sessions, err = weighted(ctx, a, p, sessions, w.weights); err != nil {
		return q, err
	}
	if w.atRest != "" {
		s, err := a.files.session(p, w.atRest)
		if err != nil {
			return q, err
		}
		q.AtRest = s.Session
	}
	return q, nil
}

// fixedPlaces are those that --keep names; all are the present wires, none is nothing.
// What has a dot is a file with one of them a line, since no name has one.
func fixedPlaces(p *files.Studio, typed []string) ([]name.Point, error) {
	var all []name.Point
	for _, item := range typed {
		switch {
		case item == "none":
		case item == "all":
			for _, w := range p.Studio.Wires {
				all = append(all, w.From, w.To)
			}
		case strings.Contains(item, "."):
			listed, err := keptFile(p, item)
			if err != nil {
				return nil, err
			}
			all = append(all, listed...)
		default:
			points, err := places(p, "--keep", []string{item})
			if err != nil {
				return nil, err
			}
			all = append(all, points...)
		}
	}
	return all, nil
}

// keptFile reads a file of gear, ports and jacks, one or a list a line; what follows
// # is a comment.
func keptFile(p *files.Studio, file string) ([]name.Point, error) {
	src, err := named("the file of --keep", file, "give all, none, gear, ports and jacks, or a file with one of them a line")
	if err != nil {
		return nil, err
	}
	var all []name.Point
	for n, line := range strings.Split(string(src), "\n") {
		line, _, _ = strings.Cut(line, "#")
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		points, err := places(p, fmt.Sprintf("%s:%d:", file, n+1), []string{line})
		if err != nil {
			return nil, err
		}
		all = append(all, points...)
	}
	return all, nil
}

// places reads gear and points; gear is a point without a port.
func places(p *files.Studio, flag string, typed []string) ([]name.Point, error) {
	var all []name.Point
	for _, list := range typed {
		for _, item := range strings.Split(list, ",") {
			if p.Studio.GearNamed(item) != nil {
				all = append(all, name.Point{Owner: item})
				continue
			}
			points, err := name.List(item)
			if err != nil {
				return nil, wrongUsage("%s %s: %v", flag, item, err)
			}
			for _, point := range points {
				if _, err := text.Resolve(p.Studio, point.String()); err != nil {
					return nil, wrongUsage("%s %s: %v", flag, item, err)
				}
			}
			all = append(all, points...)
		}
	}
	return all, nil
}

// weighted are the sessions with how much each counts.
func weighted(ctx context.Context, a *app, p *files.Studio, sessions []string, weights string) ([]arrange.Weighted, error) {
	weight := func(s *files.Session) int { return 1 }
	switch weights {
	case "even":
	case "said":
		weight = func(s *files.Session) int { return s.Session.Weight }
	case "history":
		recalls, err := recallsOf(ctx, a)
		if err != nil {
			return nil, err
		}
		weight = func(s *files.Session) int { return recalls[s.Name] }
	default:
		return nil, wrongUsage("--weights %s is not known; write even, said or history", weights)
	}
	var all []arrange.Weighted
	for _, named := range sessions {
		s, err := a.files.session(p, named)
		if err != nil {
			return nil, err
		}
		all = append(all, arrange.Weighted{Session: s.Session, Weight: max(1, weight(s))})
	}
	return all, nil
}

// recallsOf counts how often each session was recalled.
func recallsOf(ctx context.Context, a *app) (map[string]int, error) {
	counts := map[string]int{}
	err := a.room.book(ctx, func(b book) error {
		events, err := b.Find(ctx, keep.Query{Kinds: []keep.Kind{keep.Recalled}})
		for _, e := range events {
			counts[e.Session]++
		}
		return err
	})
	return counts, err
}

// writeArranged writes the proposal into the studio's file.
func writeArranged(out *output, p *files.Studio, to []byte) error {
	if err := replaceUnchanged(p.File, p.Source, to); err != nil {
		return err
	}
	if !out.json {
		out.printf("\n%s has this wiring now\n", p.File)
	}
	return nil
}
