package main

import (
	"os"

	"github.com/spf13/cobra"
)

// studioVariable names the studio's file where no flag does.
const studioVariable = "BAYHAND_STUDIO"

func sharedFlags(a *app, root *cobra.Command) {
	file := "studio.yaml"
	if named := os.Getenv(studioVariable); named != "" {
		file = named
	}
	flags := root.PersistentFlags()
	flags.StringVar(&a.files.at.Studio, "studio", file, "the studio's `FILE` (or set "+studioVariable+")")
	flags.StringVar(&a.files.at.Sessions, "sessions", "", "the sessions' `DIR` (default: sessions beside FILE)")
	flags.StringVar(&a.room.stateDir, "state", "", "the journal's and daemon's `DIR` (default: a folder for each studio under "+stateHome()+")")
	flags.String("room", "", "speak to the host that keeps this `ROOM`, of several hosts of a house")
	root.PersistentPreRunE = func(c *cobra.Command, _ []string) error {
		room := c.Flags().Lookup("room") // a command may have its own, which says more
		if room == nil || room.Value.String() == "" {
			return nil
		}
		return a.room.find(c.Context(), room.Value.String())
	}
	flags.BoolVar(&a.out.json, "json", false, "print the answer as JSON")
	must(root.MarkPersistentFlagFilename("studio", "yaml"))
	must(root.MarkPersistentFlagDirname("sessions"))
	must(root.MarkPersistentFlagDirname("state"))
}

// must is for mistakes in this program that every run would show.
func must(err error) {
	if err != nil {
		panic(err)
	}
}
