package main

import (
	"context"

	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func (a *app) stripCommand() *cobra.Command {
	var now bool
	c := &cobra.Command{
		Use:     "strip",
		Short:   "The way back to rest, and with --now to go it",
		Example: "  bayhand strip\n  bayhand strip --now",
		Args:    arguments(0, 0),
		RunE:    func(c *cobra.Command, _ []string) error { return a.strip(c.Context(), now) },
	}
	c.Flags().BoolVar(&now, "now", false, "switch the matrices, and ask for the cords to be pulled")
	return c
}

func (a *app) strip(ctx context.Context, now bool) error {
	p, err := a.drivenStudio()
	if err != nil {
		return err
	}
	return a.inRoom(ctx, func(room keep.Room) error {
		status, err := room.Strip(ctx, now)
		if now || err != nil {
			return a.outcome(p, status, err)
		}
		return a.showWay(p, status.Plan)
	})
}
