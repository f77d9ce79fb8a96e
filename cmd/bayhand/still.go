package main

import (
	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func stillCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "still",
		Short: "Confirm that the bay is unchanged",
		Long: `Answer what a daemon asks once after its start: whether the bay is still as it
was left. Report changes first (plug, unplug, move), and then say this.`,
		Example: "  bayhand still",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			p, err := a.files.sound()
			if err != nil {
				return err
			}
			return a.room.in(c.Context(), func(room keep.Room) error {
				return a.view.ask(c.Context(), p, room, keep.Act{Do: keep.StillSo})
			})
		},
	}
}
