package main

import (
	"context"
	"fmt"
	"text/tabwriter"
	"time"

	"github.com/mdp/qrterminal/v3"
	"github.com/spf13/cobra"

	"bayhand/recall/serve"
)

// inviting is what the command line says of an invitation.
type inviting struct {
	may, who, out string
	list          bool
}

func inviteCommand(a *app) *cobra.Command {
	q := inviting{may: "tick"}
	c := &cobra.Command{
		Use:   "invite",
		Short: "Let a screen elsewhere in: a code, and a picture for its camera",
		Long: `Show a code by which one screen on the network is let in, once, within five
minutes: type it at the address, or let the screen's camera read the picture.
A screen may look; or also tick steps; or also recall sessions. What is done
by it stands in the history under the name that --as gives it.

--list shows the screens that are let in, and --out ID lets one out again.`,
		Example: "  bayhand invite --as \"tablet at the bay\"\n  bayhand invite --may recall\n  bayhand invite --list\n  bayhand invite --out all",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			if err := eitherFlag(c, "list", "out"); err != nil {
				return err
			}
			var role serve.Role
			if err := role.UnmarshalText([]byte(q.may)); err != nil {
				return wrongUsage("--may %s is not valid; write look, tick or recall", q.may)
			}
			return withScreens(c.Context(), a, func(client *serve.Client, _ string) error {
				switch {
				case q.list:
					return listScreens(c.Context(), a.out, client)
				case q.out != "":
					return letOut(c.Context(), a.out, client, q.out)
				}
				return invite(c.Context(), a.out, client, serve.InviteRequest{Role: role, Who: q.who})
			})
		},
	}
	c.Flags().StringVar(&q.may, "may", q.may, "what the screen may do: look, tick or recall")
	c.Flags().StringVar(&q.who, "as", "", "the `NAME` of who is let in, for the history")
	c.Flags().BoolVar(&q.list, "list", false, "show the screens that are let in")
	c.Flags().StringVar(&q.out, "out", "", "let the screen with this `ID` out again, or all")
	must(c.RegisterFlagCompletionFunc("may", func(_ *cobra.Command, _ []string, begun string) ([]string, cobra.ShellCompDirective) {
		return beginning([]string{"look", "tick", "recall"}, begun), cobra.ShellCompDirectiveNoFileComp
	}))
	return c
}

func invite(ctx context.Context, out *output, client *serve.Client, q serve.InviteRequest) error {
	i, err := client.Invite(ctx, q)
	if err != nil {
		return err
	}
	if out.json {
		return out.answer(i)
	}
	out.printf("%s\nthe code %s %s lets one screen in, to %s, until %s\n\n", i.Address, i.Code[:4], i.Code[4:], q.Role.Words(), i.Until.Local().Format(time.TimeOnly))
	qrterminal.GenerateWithConfig(i.Address, qrterminal.Config{
		Level: qrterminal.L, Writer: out.to, HalfBlocks: true, QuietZone: 2,
		BlackChar: qrterminal.BLACK_BLACK, WhiteChar: qrterminal.WHITE_WHITE,
		BlackWhiteChar: qrterminal.BLACK_WHITE, WhiteBlackChar: qrterminal.WHITE_BLACK,
	})
	return nil
}

func listScreens(ctx context.Context, out *output, client *serve.Client) error {
	all, err := client.Screens(ctx)
	if err != nil || out.json {
		if err == nil {
			err = out.answer(all)
		}
		return err
	}
	if len(all) == 0 {
		out.printf("no screen is let in\n")
		return nil
	}
	table := tabwriter.NewWriter(out.to, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "ID\tMAY\tWHO\tSINCE\tSEEN")
	for _, s := range all {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", s.ID, s.Role, s.Who, s.Since.Local().Format("2006-01-02 15:04"), s.Seen.Local().Format(time.DateOnly))
	}
	return table.Flush()
}

func letOut(ctx context.Context, out *output, client *serve.Client, id string) error {
	if id == "all" {
		id = ""
	}
	n, err := client.Revoke(ctx, id)
	if err != nil {
		return err
	}
	what := fmt.Sprintf("%d screens are", n)
	if n == 1 {
		what = "1 screen is"
	}
	return out.say(map[string]int{"revoked": n}, "%s let out", what)
}
