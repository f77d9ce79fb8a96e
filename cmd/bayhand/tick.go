package main

import (
	"context"
	"slices"

	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func (a *app) doneCommand() *cobra.Command {
	var not bool
	c := &cobra.Command{
		Use:   "done ID... | all",
		Short: "Tell it that moves are made, or with --not that they were not",
		Long: `Tell it that the steps with these numbers are done. "all" is every step that can
be done by hand before a matrix has to switch again.`,
		Example:           "  bayhand done 3\n  bayhand done 3 4 5\n  bayhand done all\n  bayhand done --not 4",
		Args:              arguments(1, -1),
		ValidArgsFunction: a.completeSteps,
		RunE:              func(c *cobra.Command, args []string) error { return a.tick(c.Context(), args, not) },
	}
	c.Flags().BoolVar(&not, "not", false, "the steps were not done after all")
	return c
}

func (a *app) tick(ctx context.Context, ids []string, not bool) error {
	t := keep.Tick{IDs: ids, Not: not}
	if slices.Contains(ids, "all") {
		if len(ids) > 1 || not {
			return wrongUsage("all stands alone; write `bayhand done all`, or the numbers of steps")
		}
		t = keep.Tick{All: true}
	}
	p, err := a.soundStudio()
	if err != nil {
		return err
	}
	return a.inRoom(ctx, func(room keep.Room) error {
		status, err := room.Tick(ctx, t)
		return a.outcome(p, status, err)
	})
}

// completeSteps completes the numbers of the steps that are left.
func (a *app) completeSteps(c *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
	p, err := a.openStudio()
	if err != nil || p.room == nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	status, err := a.lookAtRoom(c.Context(), p)
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	ids := []string{"all"}
	for _, s := range status.Left {
		ids = append(ids, s.ID)
	}
	return beginning(ids, begun), cobra.ShellCompDirectiveNoFileComp
}
