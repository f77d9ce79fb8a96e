package main

import (
	"bytes"
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"bayhand/model/plan"
	"bayhand/recall/keep"
	"bayhand/recall/paper"
)

func (a *app) cordsCommand() *cobra.Command {
	var file string
	var how bool
	c := &cobra.Command{
		Use:     "cords",
		Short:   "The moves by hand that remain now",
		Example: "  bayhand cords\n  bayhand cords --paper tonight.pdf\n  bayhand cords --how",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			if how && file != "" {
				return wrongUsage("--how and --paper exclude each other; leave one of them out")
			}
			return a.cords(c.Context(), file, how)
		},
	}
	c.Flags().BoolVar(&how, "how", false, "instead, each cord and crosspoint with how it is known, since when and by whom")
	c.Flags().StringVar(&file, "paper", "", "write them to `FILE.pdf`, to print and tick by hand")
	must(c.MarkFlagFilename("paper", "pdf"))
	return c
}

func (a *app) cords(ctx context.Context, file string, how bool) error {
	p, err := a.soundStudio()
	if err != nil {
		return err
	}
	status, err := a.lookAtRoom(ctx, p)
	if err != nil {
		return err
	}
	if how {
		return a.showFacts(status.Known)
	}
	if file != "" {
		return a.onPaper(p, status, file)
	}
	return a.outcome(p, status, nil)
}

// onPaper writes the sheet of what is left, all of it or nothing.
func (a *app) onPaper(p *papers, status keep.Status, file string) error {
	var page bytes.Buffer
	sheet := paper.FromStatus(p.studio, status, paper.Caption{Session: a.title(p, status.Session), Date: time.Now()})
	warnings, err := paper.PDF(&page, sheet, paper.A4)
	if err != nil {
		return err
	}
	for _, w := range warnings {
		a.complainf("%s\n", w)
	}
	if err := replaceFile(file, page.Bytes(), nil); err != nil {
		return fmt.Errorf("%s cannot be written: %w; give a file in a folder that is there and yours", file, bare(err))
	}
	moves := movesIn(status.Left)
	return a.say(map[string]any{"file": file, "moves": moves}, "%s on %s", plural(moves, "move"), file)
}

// movesIn counts the steps that move a plug.
func movesIn(left []plan.Step) int {
	moves := 0
	for _, s := range left {
		switch s.Do {
		case plan.Plug, plan.Pull, plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead:
			moves++
		case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch:
		}
	}
	return moves
}

// title is what people read for a session; empty where it cannot be read.
func (a *app) title(p *papers, session string) string {
	if session == "" || session == keep.RestName {
		return ""
	}
	s, _, _, err := a.readSession(p, session)
	if err != nil || s == nil {
		return ""
	}
	return s.Title
}
