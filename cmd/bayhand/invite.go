package main

import (
	"context"
	"errors"
	"time"

	"github.com/mdp/qrterminal/v3"
	"github.com/spf13/cobra"

	"bayhand/recall/serve"
)

func inviteCommand(a *app) *cobra.Command {
	may := "tick"
	c := &cobra.Command{
		Use:   "invite",
		Short: "Let a screen elsewhere in: a code, and a picture for its camera",
		Long: `Show a code by which one screen on the network is let in, once, within five
minutes: type it at the address, or let the screen's camera read the picture.
A screen may look; or tick moves off, too; or recall sessions, too.`,
		Example: "  bayhand invite\n  bayhand invite --may recall",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			var role serve.Role
			if err := role.UnmarshalText([]byte(may)); err != nil {
				return wrongUsage("--may %s is none; write look, tick or recall", may)
			}
			return runInvite(c.Context(), a, role)
		},
	}
	c.Flags().StringVar(&may, "may", may, "what the screen may do: look, tick or recall")
	must(c.RegisterFlagCompletionFunc("may", func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
		return beginning([]string{"look", "tick", "recall"}, begun), cobra.ShellCompDirectiveNoFileComp
	}))
	return c
}

func runInvite(ctx context.Context, a *app, role serve.Role) error {
	folder, err := a.room.statePath()
	if err != nil {
		return err
	}
	client, err := serve.Find(ctx, folder)
	if errors.Is(err, serve.ErrNobody) {
		return errors.New("no daemon keeps this room; start one that others can reach, such as: bayhand daemon --http 0.0.0.0:7420")
	}
	if err != nil {
		return err
	}
	defer client.Close()
	i, err := client.Invite(ctx, role)
	if err != nil {
		return err
	}
	if a.out.json {
		return a.out.answer(i)
	}
	a.out.printf("%s\nthe code %s %s lets one screen in, to %s, until %s\n\n", i.Address, i.Code[:4], i.Code[4:], role, i.Until.Local().Format(time.TimeOnly))
	qrterminal.GenerateWithConfig(i.Address, qrterminal.Config{
		Level: qrterminal.L, Writer: a.out.to, HalfBlocks: true, QuietZone: 2,
		BlackChar: qrterminal.BLACK_BLACK, WhiteChar: qrterminal.WHITE_WHITE,
		BlackWhiteChar: qrterminal.BLACK_WHITE, WhiteBlackChar: qrterminal.WHITE_BLACK,
	})
	return nil
}
