package main

import (
	"context"

	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func undoCommand(a *app) *cobra.Command {
	var only string
	c := &cobra.Command{
		Use:        "undo",
		SuggestFor: []string{"revert", "back", "redo"},
		Short:      "Take the last recall back",
		Long: `Go back to what the room was set up for before the last recall or strip, using
the patch planned then. The matrices switch back at once where nothing has
to be plugged first; the cords are listed as in any recall. Undoing an undo
brings back what it undid.

With --room it is the last recall in that room that is taken back: other rooms
stay in their sessions, whoever recalled what there since.`,
		Example: "  bayhand undo\n  bayhand undo --room live",
		Args:    arguments(0, 0),
		RunE:    func(c *cobra.Command, _ []string) error { return runUndo(c.Context(), a, only) },
	}
	c.Flags().StringVar(&only, "room", "", "the last recall in this `ROOM`")
	return c
}

func runUndo(ctx context.Context, a *app, only string) error {
	p, err := a.files.driven()
	if err != nil {
		return err
	}
	return a.room.in(ctx, func(room keep.Room) error {
		return a.view.ask(ctx, p, room, keep.Act{Do: keep.ToUndo, Options: keep.RecallOptions{Room: only}})
	})
}
