package main

import (
	"context"

	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func (a *app) undoCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "undo",
		Short: "Take the last recall back",
		Long: `Go back to what was asked of the room before the last recall or strip, by the
patch that was meant then. The matrices switch back at once where nothing has
to be plugged first; the cords are asked for as in any recall. Undoing an undo
brings back what it undid.`,
		Example: "  bayhand undo",
		Args:    arguments(0, 0),
		RunE:    func(c *cobra.Command, _ []string) error { return a.undo(c.Context()) },
	}
}

func (a *app) undo(ctx context.Context) error {
	p, err := a.drivenStudio()
	if err != nil {
		return err
	}
	return a.inRoom(ctx, func(room keep.Room) error {
		status, err := room.Undo(ctx)
		return a.outcome(p, status, err)
	})
}
