package main

import (
	"context"
	"slices"

	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func doneCommand(a *app) *cobra.Command {
	var not bool
	c := &cobra.Command{
		Use:   "done ID... | all",
		Short: "Tell it that moves are made, or with --not that they were not",
		Long: `Tell it that the steps with these numbers are done. "all" is every step that can
be done by hand before a matrix has to switch again.`,
		Example:           "  bayhand done 3\n  bayhand done 3 4 5\n  bayhand done all\n  bayhand done --not 4",
		Args:              arguments(1, -1),
		ValidArgsFunction: completeSteps(a),
		RunE:              func(c *cobra.Command, args []string) error { return runTick(c.Context(), a, args, not) },
	}
	c.Flags().BoolVar(&not, "not", false, "the steps were not done after all")
	return c
}

func runTick(ctx context.Context, a *app, ids []string, not bool) error {
	act := keep.Act{Do: keep.WereDone, IDs: ids}
	if not {
		act.Do = keep.NotDone
	}
	if slices.Contains(ids, "all") {
		if len(ids) > 1 || not {
			return wrongUsage("all stands alone; write `bayhand done all`, or the numbers of steps")
		}
		act = keep.Act{Do: keep.WereDone, All: true}
	}
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	return a.room.in(ctx, func(room keep.Room) error {
		return a.view.ask(ctx, p, room, act)
	})
}
