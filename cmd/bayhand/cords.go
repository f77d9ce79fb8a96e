package main

import (
	"bytes"
	"context"
	"fmt"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"bayhand/model/plan"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

func cordsCommand(a *app) *cobra.Command {
	var file string
	var how bool
	c := &cobra.Command{
		Use:        "cords",
		SuggestFor: []string{"status", "list", "show", "steps", "todo", "print"},
		Short:      "The steps left to do by hand",
		Example:    "  bayhand cords\n  bayhand cords --paper tonight.pdf\n  bayhand cords --how",
		Args:       arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			if how && file != "" {
				return wrongUsage("--how and --paper exclude each other; leave one of them out")
			}
			return runCords(c.Context(), a, file, how)
		},
	}
	c.Flags().BoolVar(&how, "how", false, "instead, each cord and crosspoint with how it is known, since when and by whom")
	c.Flags().StringVar(&file, "paper", "", "write them to `FILE.pdf`, to print and tick by hand")
	must(c.MarkFlagFilename("paper", "pdf"))
	return c
}

func runCords(ctx context.Context, a *app, file string, how bool) error {
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	status, err := a.room.status(ctx, p)
	if err != nil {
		return err
	}
	if how {
		return showFacts(a.out, status.Known)
	}
	if file != "" {
		return onPaper(a, p, status, file)
	}
	if a.out.json {
		return a.out.answer(status)
	}
	return a.view.showRoom(p, status)
}

// showFacts lists what is known with how, since when and by whom.
func showFacts(out *output, k keep.Known) error {
	if out.json {
		return out.answer(k)
	}
	all := words.Facts(k)
	if len(all) == 0 {
		out.printf("no plug is in, and the studio has no matrix\n")
	}
	columns := tabwriter.NewWriter(out.to, 0, 0, 2, ' ', 0)
	for _, f := range all {
		fmt.Fprintf(columns, "%s\t%s\t%s\n", out.named(f.What), f.How, f.Since)
	}
	return columns.Flush()
}

// onPaper writes the sheet of what is left, all of it or nothing.
func onPaper(a *app, p *files.Studio, status keep.Status, file string) error {
	var page bytes.Buffer
	sheet := paper.FromStatus(p.Studio, status, captionOf(a.files.library(), p, status, today()))
	warnings, err := paper.PDF(&page, sheet, paper.A4)
	if err != nil {
		return err
	}
	for _, w := range warnings {
		a.out.complainf("%s\n", w)
	}
	if err := write(file, page.Bytes()); err != nil {
		return err
	}
	return a.out.say(map[string]any{"file": file, "moves": movesIn(status.Left)}, "%s by hand on %s", plural(sheet.ByHand(), "step"), file)
}

// movesIn counts the steps that move a plug.
func movesIn(left []plan.Step) int {
	moves := 0
	for _, s := range left {
		switch s.Do {
		case plan.Plug, plan.Pull, plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead:
			moves++
		case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.ChangeOver:
		}
	}
	return moves
}
