package main

import (
	"context"

	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func stripCommand(a *app) *cobra.Command {
	var now bool
	var room string
	c := &cobra.Command{
		Use:        "strip",
		SuggestFor: []string{"rest", "reset", "clear", "release"},
		Short:      "Show the steps back to the rest patch; --now starts them",
		Example:    "  bayhand strip\n  bayhand strip --now\n  bayhand strip --now --room live",
		Args:       arguments(0, 0),
		RunE:       func(c *cobra.Command, _ []string) error { return runStrip(c.Context(), a, now, room) },
	}
	c.Flags().BoolVar(&now, "now", false, "switch the matrices, and list the cords to unplug")
	c.Flags().StringVar(&room, "room", "", "with --now: only this `ROOM` of the studio; others stay in their sessions")
	return c
}

func runStrip(ctx context.Context, a *app, now bool, only string) error {
	if only != "" && !now {
		return wrongUsage("--room goes with --now; the steps back to the rest patch are shown for the whole studio")
	}
	p, err := a.files.driven()
	if err != nil {
		return err
	}
	return a.room.in(ctx, func(room keep.Room) error {
		if now {
			return a.view.ask(ctx, p, room, keep.Act{Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{Room: only}})
		}
		got, err := room.Act(ctx, keep.Act{Do: keep.ToPreview, Session: keep.RestName})
		if err != nil {
			return err
		}
		a.view.warnOfStrays(p, got.Status)
		return a.view.showWay(p, got.Plan)
	})
}
