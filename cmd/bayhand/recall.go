package main

import (
	"context"

	"github.com/spf13/cobra"

	"bayhand/recall/keep"
)

func recallCommand(a *app) *cobra.Command {
	var o keep.RecallOptions
	c := &cobra.Command{
		Use:        "recall SESSION",
		SuggestFor: []string{"restore", "load", "set", "session", "sessions", "apply"},
		Short:      "Set the room up for a session: matrices at once, cords by you",
		Long: `Set the room up for SESSION. Crosspoints are switched and read
back at once; the cords that remain are printed in order, and ticked with done.
If any connection is not possible, nothing is changed unless you add --partly.
The session rest is the room between sessions.

The rooms of one studio (rooms: in its file) hold different sessions at once
where these do not touch and the cords owned are enough for all; where they do
or are not, nothing is moved unless --instead.`,
		Example:           "  bayhand recall tern-mix-1\n  bayhand recall curlew-overdubs --prefer fewest",
		Args:              oneSession(a),
		ValidArgsFunction: completeSessions(a),
		RunE: func(c *cobra.Command, args []string) error {
			if err := bounded(o.Prefer, o.Effort); err != nil {
				return err
			}
			return runRecall(c.Context(), a, args[0], o)
		},
	}
	c.Flags().StringVar(&o.Prefer, "prefer", "same", "same (as last time), plain (no tricks) or fewest (plugs)")
	c.Flags().Int64Var(&o.Effort, "effort", 0, effortHelp)
	c.Flags().BoolVar(&o.Partly, "partly", false, "set up what is possible of a session, and leave out the rest")
	c.Flags().BoolVar(&o.LeaveCords, "leave", false, "leave cords in that the session does not need")
	c.Flags().BoolVar(&o.Inside, "inside", false, "the software or desk has been changed over to the session already")
	c.Flags().BoolVar(&o.Instead, "instead", false, "take the place of sessions in other rooms that it touches or whose cords it needs")
	must(c.RegisterFlagCompletionFunc("prefer", completePreference))
	return c
}

func runRecall(ctx context.Context, a *app, typed string, o keep.RecallOptions) error {
	session := a.files.called(typed)
	a.files.saved(ctx, session)
	p, err := a.files.driven()
	if err != nil {
		return err
	}
	if session != keep.RestName {
		if _, err := a.files.session(p, session); err != nil {
			return err
		}
	}
	return a.room.in(ctx, func(room keep.Room) error {
		return a.view.ask(ctx, p, room, keep.Act{Do: keep.ToRecall, Session: session, Options: o})
	})
}
