package main

import (
	"bytes"
	"context"

	"github.com/spf13/cobra"

	"bayhand/model/level"
	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/files"
	"bayhand/recall/paper"
)

// levelsAsked is what levels is asked, from the flags.
type levelsAsked struct {
	printing
	at, patch, assume string
	all               bool
}

func levelsCommand(a *app) *cobra.Command {
	var w levelsAsked
	c := &cobra.Command{
		Use:   "levels [SESSION]",
		Short: "Level, headroom, loading and bandwidth at every destination",
		Long: `Work out what arrives where: how much of a source's level, what clips first,
what the output sees, and what cables take from the treble. Of a session the
gain plan comes first: for each of its lines where it clips first, what to turn
down, and what a tone should read at the end. Without a session it is the room
in the rest patch.

Only what deserves a look is printed, unless --all is given or a point with
--at.
What the files do not say stays unknown. Nothing here says that a level is safe
to the ear: turn down before you listen.`,
		Example:           "  bayhand levels\n  bayhand levels tern-mix-1\n  bayhand levels --at recorder/in1 --assume 5m",
		Args:              arguments(0, 1),
		ValidArgsFunction: completeSessions(a),
		RunE: func(c *cobra.Command, args []string) error {
			if err := eitherFlag(c, "at", "paper"); err != nil {
				return err
			}
			return runLevels(c.Context(), a, args, w)
		},
	}
	w.flags(c, "the gain plan, with room for what the meters read,")
	c.Flags().StringVar(&w.at, "at", "", "only at destination `POINT`, or where a source arrives, and all of it")
	c.Flags().StringVar(&w.patch, "patch", "", "with the patch in `FILE`")
	c.Flags().StringVar(&w.assume, "assume", "", "take every cable of unknown length to have this `LENGTH`, such as 5m")
	c.Flags().BoolVar(&w.all, "all", false, "print every destination")
	must(c.RegisterFlagCompletionFunc("at", completePoints(a)))
	return c
}

// leveled is the answer of levels.
type leveled struct {
	Session string        `json:"session,omitempty"`
	Chains  []chainAnswer `json:"chains"`
	// Destinations are those asked for: of --at, or all.
	Destinations []level.Arrival `json:"destinations"`

	// chains are those of Chains, as they were worked out.
	chains []level.Chain
	studio *studio.Studio
	title  string
	detail bool
}

func runLevels(ctx context.Context, a *app, args []string, w levelsAsked) error {
	to, err := w.ready()
	if err != nil {
		return err
	}
	options := level.Options{}
	if w.assume != "" {
		length, err := measure.ParseLength(w.assume)
		if err != nil || length <= 0 {
			return wrongUsage("--assume %s is no length of a cable; write such as 5m", w.assume)
		}
		options.Assume = length
	}
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	in, of, err := leveledPatch(ctx, a, p, args, w.patch)
	if err != nil {
		return err
	}
	if to.file != "" {
		return printLevelsPaper(a.out, p, args, of, in, options, to)
	}
	room := p.Room.For(of, in)
	l := level.New(room, in, options)
	answer := leveled{Chains: []chainAnswer{}, studio: room.Studio(), title: "in the rest patch", detail: w.at != ""}
	if len(args) > 0 {
		answer.Session, answer.title = args[0], of.Title
		answer.chains = l.Chains(of)
		answer.Chains = chainAnswers(answer.chains)
	}
	if w.at == "" {
		answer.Destinations = notNone(l.All())
	} else {
		point, err := pointIn(room.Studio(), w.at)
		if err != nil {
			return err
		}
		answer.Destinations = notNone(l.Around(point))
		answer.Chains, answer.chains = []chainAnswer{}, nil
	}
	if a.out.json {
		return a.out.answer(answer)
	}
	printLevels(a.out, answer, w.all)
	return nil
}

func printLevelsPaper(o *output, p *files.Studio, args []string, of *session.Session, in patch.Patch, options level.Options, to press) error {
	title := "in the rest patch"
	if len(args) > 0 {
		title = of.Title
	}
	l := levelsPaper(p, title, of, in, options)
	err := o.print(to.file, func(page *bytes.Buffer) ([]paper.Warning, error) {
		return paper.LevelsPDF(page, l, to.size, to.fonts...)
	})
	if err != nil {
		return err
	}
	return o.say(map[string]any{"file": to.file}, "%s is written", to.file)
}

func notNone(all []level.Arrival) []level.Arrival {
	if all == nil {
		return []level.Arrival{}
	}
	return all
}

// leveledPatch is the patch to ask about and its session: that of a file, or that
// which gives the session, or the one at rest.
func leveledPatch(ctx context.Context, a *app, p *files.Studio, args []string, file string) (patch.Patch, *session.Session, error) {
	if file == "" && len(args) > 0 {
		return patchOf(ctx, a, p, args[0])
	}
	of := &session.Session{}
	if len(args) > 0 {
		read, err := a.files.session(p, args[0])
		if err != nil {
			return patch.Patch{}, nil, err
		}
		of = read.Session
	}
	if file == "" {
		return p.Studio.Rest, of, nil
	}
	in, err := a.files.named(p, file)
	return in, of, err
}
