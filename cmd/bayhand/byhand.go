package main

import (
	"context"

	"github.com/spf13/cobra"

	"bayhand/model/name"
	"bayhand/recall/files"
	"bayhand/recall/keep"
)

func plugCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "plug A [B]",
		Short: "Tell it of a cord that nobody planned",
		Long: `Tell it that a cord joins two jacks, or a lead a port and a jack. With one jack
it is a dummy: a plug that only breaks a normal.`,
		Example:           "  bayhand plug t3 b27\n  bayhand plug organ/out1 main/b14\n  bayhand plug b4",
		Args:              arguments(1, 2),
		ValidArgsFunction: completePoints(a),
		RunE: byHand(a, func(ctx context.Context, room keep.Room, at []name.Point) (keep.Status, error) {
			return room.Plug(ctx, at[0], second(at))
		}),
	}
}

func pullCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:               "pull A",
		Short:             "Tell it that what is in this jack is out",
		Example:           "  bayhand pull t3",
		Args:              arguments(1, 1),
		ValidArgsFunction: completePoints(a),
		RunE: byHand(a, func(ctx context.Context, room keep.Room, at []name.Point) (keep.Status, error) {
			return room.Pull(ctx, at[0])
		}),
	}
}

func moveCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:               "move A [B]",
		Short:             "Tell it that the plug in A is now in B, or hangs loose",
		Example:           "  bayhand move b27 b28",
		Args:              arguments(1, 2),
		ValidArgsFunction: completeJacks(a),
		RunE: byHand(a, func(ctx context.Context, room keep.Room, at []name.Point) (keep.Status, error) {
			return room.Move(ctx, at[0], second(at))
		}),
	}
}

func tagCommand(a *app) *cobra.Command {
	var faulty, sound bool
	c := &cobra.Command{
		Use:               "tag POINT --faulty | --sound",
		Short:             "Tell it of a jack that is faulty, or sound again",
		Long:              "Faulty jacks are planned around. The studio's file has a list of its own.",
		Example:           "  bayhand tag main/t13 --faulty\n  bayhand tag main/t13 --sound",
		Args:              arguments(1, 1),
		ValidArgsFunction: completeJacks(a),
	}
	c.Flags().BoolVar(&faulty, "faulty", false, "the jack is faulty")
	c.Flags().BoolVar(&sound, "sound", false, "the jack is sound again")
	do := byHand(a, func(ctx context.Context, room keep.Room, at []name.Point) (keep.Status, error) {
		return room.Tag(ctx, at[0], faulty)
	})
	c.RunE = func(c *cobra.Command, args []string) error {
		if faulty == sound {
			return wrongUsage("say what the jack is: write %s", form(c))
		}
		return do(c, args)
	}
	return c
}

func second(at []name.Point) name.Point {
	if len(at) < 2 {
		return name.Point{}
	}
	return at[1]
}

// byHand is a command that tells the keeper what a person did at some points.
func byHand(a *app, tell func(context.Context, keep.Room, []name.Point) (keep.Status, error)) func(*cobra.Command, []string) error {
	return func(c *cobra.Command, args []string) error {
		p, err := a.files.sound()
		if err != nil {
			return err
		}
		return a.room.in(c.Context(), func(room keep.Room) error {
			at, err := pointsIn(c.Context(), a, p, room, args)
			if err != nil {
				return err
			}
			status, err := tell(c.Context(), room, at)
			if onlyNoAnswer(err) {
				// It is told; that a device is silent is shown, and is not what was
				// asked.
				err = nil
			}
			return a.view.outcome(p, status, err)
		})
	}
}

// pointsIn reads points that a person typed; gear that came for the session of
// the room counts.
func pointsIn(ctx context.Context, a *app, p *files.Studio, room keep.Room, typed []string) ([]name.Point, error) {
	status, err := room.Status(ctx)
	if err != nil {
		return nil, err
	}
	here := p.Room
	if held := a.files.library().Held(p, status.Session); held != nil {
		here = p.Room.For(held, status.Known.Patch())
	}
	var at []name.Point
	for _, text := range typed {
		point, err := pointIn(here.Studio(), text)
		if err != nil {
			return nil, err
		}
		at = append(at, point)
	}
	return at, nil
}
