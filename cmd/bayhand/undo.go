package main

import (
	"context"

	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func undoCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "undo",
		Short: "Take the last recall back",
		Long: `Go back to what the room was set up for before the last recall or strip, using
the patch planned then. The matrices switch back at once where nothing has
to be plugged first; the cords are asked for as in any recall. Undoing an undo
brings back what it undid.`,
		Example: "  bayhand undo",
		Args:    arguments(0, 0),
		RunE:    func(c *cobra.Command, _ []string) error { return runUndo(c.Context(), a) },
	}
}

func runUndo(ctx context.Context, a *app) error {
	p, err := a.files.driven()
	if err != nil {
		return err
	}
	return a.room.in(ctx, func(room keep.Room) error {
		return a.view.ask(ctx, p, room, keep.Act{Do: keep.ToUndo})
	})
}
