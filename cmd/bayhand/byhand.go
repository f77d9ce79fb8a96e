package main

import (
	"context"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/files"
	"bayhand/recall/keep"
)

func plugCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:        "plug A [B]",
		SuggestFor: []string{"connect", "patch", "insert"},
		Short:      "Report a cord you plugged",
		Long: `Report that a cord joins two jacks, or a gear cable a port and a jack. With one
jack it is a dummy plug: it only breaks a normal.`,
		Example:           "  bayhand plug t3 b27\n  bayhand plug organ/out1 main/b14\n  bayhand plug b4",
		Args:              pointArgs{1, 2}.args,
		ValidArgsFunction: completePoints(a),
		RunE:              byHand(a, pointArgs{1, 2}, func() keep.Deed { return keep.Plugged }),
	}
}

func pullCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:               "unplug A",
		SuggestFor:        []string{"disconnect", "remove", "unpatch"},
		Aliases:           []string{"pull"},
		Short:             "Report that a jack is empty",
		Example:           "  bayhand unplug t3",
		Args:              pointArgs{1, 1}.args,
		ValidArgsFunction: completePoints(a),
		RunE:              byHand(a, pointArgs{1, 1}, func() keep.Deed { return keep.Pulled }),
	}
}

func moveCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:               "move A [B]",
		Short:             "Report a plug moved from A to B, or left loose",
		Example:           "  bayhand move b27 b28",
		Args:              pointArgs{1, 2}.args,
		ValidArgsFunction: completeJacks(a),
		RunE:              byHand(a, pointArgs{1, 2}, func() keep.Deed { return keep.Moved }),
	}
}

func numberCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "number A B N",
		Short: "Report the number on a cord",
		Long: `Report that the cord in A and B has the number N on it. What test sound finds at
fault with it is remembered wherever it goes, and a cord that was at fault in
different jacks is proposed for the bin. cords --how lists the numbers.`,
		Example:           "  bayhand number main/t5 main/b1 12",
		Args:              arguments(3, -1),
		ValidArgsFunction: completeJacks(a),
		RunE: func(c *cobra.Command, args []string) error {
			last := len(args) - 1
			n, err := cordNumber(args[last])
			if err != nil {
				return err
			}
			return telling(a, pointArgs{2, 2}, func(act *keep.Act) { act.Do, act.Number = keep.Number, n })(c, args[:last])
		},
	}
}

func binnedCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "binned N",
		Short:   "Report that a numbered cord was thrown away or mended",
		Example: "  bayhand binned 12",
		Args:    arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			n, err := cordNumber(args[0])
			if err != nil {
				return err
			}
			return telling(a, pointArgs{}, func(act *keep.Act) { act.Do, act.Number = keep.Binned, n })(c, nil)
		},
	}
}

func cordNumber(text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		return 0, wrongUsage("%q is no number of a cord; write a whole number from 1", text)
	}
	return n, nil
}

func heardCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "heard A B",
		Short: "Report a cord you followed by ear",
		Long: `Report that you followed the cord in A and B by ear, and that it does what it
should. No test sound shows some cords from here: verify lists them.`,
		Example:           "  bayhand heard main/t5 main/b1",
		Args:              pointArgs{2, 2}.args,
		ValidArgsFunction: completeJacks(a),
		RunE:              byHand(a, pointArgs{2, 2}, func() keep.Deed { return keep.ByEar }),
	}
}

func tagCommand(a *app) *cobra.Command {
	var faulty, sound bool
	c := &cobra.Command{
		Use:               "tag POINT --faulty | --ok",
		SuggestFor:        []string{"faulty", "broken", "mark"},
		Short:             "Report a faulty jack, or one that is OK again",
		Long:              "Faulty jacks are planned around. The studio's file has a list of its own.",
		Example:           "  bayhand tag main/t13 --faulty\n  bayhand tag main/t13 --ok",
		Args:              pointArgs{1, 1}.args,
		ValidArgsFunction: completeJacks(a),
	}
	c.Flags().BoolVar(&faulty, "faulty", false, "the jack is faulty")
	c.Flags().BoolVar(&sound, "ok", false, "the jack is OK again")
	do := byHand(a, pointArgs{1, 1}, func() keep.Deed {
		if faulty {
			return keep.Faulty
		}
		return keep.Sound
	})
	c.RunE = func(c *cobra.Command, args []string) error {
		if faulty == sound {
			return wrongUsage("say what the jack is: write %s", form(c))
		}
		return do(c, args)
	}
	return c
}

// byHand is a command that tells the keeper what a person did at one point or
// two.
func byHand(a *app, n pointArgs, deed func() keep.Deed) func(*cobra.Command, []string) error {
	return telling(a, n, func(act *keep.Act) { act.Do = deed() })
}

// telling is a command that tells the keeper what a person says of points, none to two.
func telling(a *app, n pointArgs, says func(act *keep.Act)) func(*cobra.Command, []string) error {
	return func(c *cobra.Command, args []string) error {
		p, err := a.files.sound()
		if err != nil {
			return err
		}
		return a.room.in(c.Context(), func(room keep.Room) error {
			at, err := pointsIn(c.Context(), a, p, room, n, args)
			if err != nil {
				return err
			}
			var act keep.Act
			says(&act)
			if len(at) > 0 {
				act.A = at[0]
			}
			if len(at) > 1 {
				act.B = at[1]
			}
			return a.view.ask(c.Context(), p, room, act)
		})
	}
}

// pointsIn reads points that a person typed; gear that came for the session of
// the room counts, and so does a place that the studio's file no longer has and in which a
// plug is reported: it can be reported out.
func pointsIn(ctx context.Context, a *app, p *files.Studio, room keep.Room, n pointArgs, typed []string) ([]name.Point, error) {
	status, err := room.Status(ctx)
	if err != nil {
		return nil, err
	}
	here := p.Room
	if held := a.files.library().Held(p, status.Session); held != nil {
		here = p.Room.For(held, status.Known.Patch())
	}
	at, err := n.in(here.Studio(), typed)
	if err != nil {
		if left, is := stillReported(here.Studio(), status.Known.Patch().Plugs(), typed); is {
			return left, nil
		}
	}
	return at, err
}

// stillReported reads points of which at least one is none of the studio's and has a plug;
// false where any of them is neither.
func stillReported(s *studio.Studio, plugs []name.Point, typed []string) ([]name.Point, bool) {
	var all []name.Point
	for _, text := range typed {
		at, err := name.Parse(text)
		if err != nil || !slices.Contains(plugs, at) {
			if at, err = pointIn(s, text); err != nil {
				return nil, false
			}
		}
		all = append(all, at)
	}
	return all, true
}
