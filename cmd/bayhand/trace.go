package main

import (
	"context"

	"github.com/spf13/cobra"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/files"
	"bayhand/recall/words"
)

func traceCommand(a *app) *cobra.Command {
	var session, file, plug string
	c := &cobra.Command{
		Use:        "trace POINT",
		SuggestFor: []string{"where", "who", "route", "find", "follow", "signal", "path"},
		Short:      "Follow a signal: where it comes from, where it goes, what stops it",
		Long: `Follow the signal to a point, and from it, by every way, and say what would
break each. Without --session or --patch this is the patch that the room is
known to be in, and the rest patch where nothing is known.

With --plug it says what a cord from the point to another jack would do, or
with --plug dummy a plug that only breaks a normal: the trace is as it would be
then, and what else would change is said after it. Nothing is remembered.`,
		Example:           "  bayhand trace interface/in1\n  bayhand trace t25 --session curlew-overdubs\n  bayhand trace main/t5 --plug main/b9",
		Args:              pointArgs{1, 1}.args,
		ValidArgsFunction: completePoints(a),
		RunE: func(c *cobra.Command, args []string) error {
			if err := eitherFlag(c, "session", "patch"); err != nil {
				return err
			}
			return runTrace(c.Context(), a, args, plug, session, file)
		},
	}
	c.Flags().StringVar(&session, "session", "", "with the patch that sets up session `S`")
	c.Flags().StringVar(&file, "patch", "", "with the patch in `FILE`")
	c.Flags().StringVar(&plug, "plug", "", "what if a cord from there were plugged into `JACK`, or a dummy there")
	must(c.RegisterFlagCompletionFunc("plug", completePoints(a, dummyWord)))
	must(c.RegisterFlagCompletionFunc("session", completeSessions(a)))
	return c
}

func runTrace(ctx context.Context, a *app, typed []string, plug, session, file string) error {
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	in, of, err := tracedPatch(ctx, a, p, session, file)
	if err != nil {
		return err
	}
	room := p.Room.For(of, in) // with the session's guests
	found, err := pointArgs{1, 1}.in(room.Studio(), typed)
	if err != nil {
		return err
	}
	point := found[0]
	state := room.Hear(in)
	var then *whatIf
	if plug != "" {
		if then, err = newWhatIf(room, of, in, point, plug); err != nil {
			return err
		}
		state, in = then.after, then.patch
	}
	t := newTraced(room.Trace(in, state, point, of.Inside))
	t.If = then
	if a.out.json {
		return a.out.answer(t)
	}
	printTrace(a.out, t, words.In(room.Studio()))
	return nil
}

// tracedPatch is the patch to follow, and the session that it is for, or that the
// room is in; an empty one where it is for none.
func tracedPatch(ctx context.Context, a *app, p *files.Studio, named, file string) (patch.Patch, *session.Session, error) {
	if named != "" {
		return patchOf(ctx, a, p, named)
	}
	from := a.room.patch
	if file != "" {
		from = func(_ context.Context, p *files.Studio) (patch.Patch, error) { return a.files.named(p, file) }
	}
	found, err := from(ctx, p)
	if in := a.room.held(ctx, p); in != nil && file == "" {
		return found, in, err
	}
	return found, &session.Session{}, err
}

// traced is the answer of trace.
type traced struct {
	Point   name.Point   `json:"point"`
	Hears   []name.Point `json:"hears"`
	Reaches []name.Point `json:"reaches"`
	// Origins came before what is heard, through gear.
	Origins []name.Point `json:"origins"`
	// Onward comes after what is reached, through gear.
	Onward []name.Point `json:"onward"`
	Paths  []path       `json:"paths"`
	// Joined are the outputs on the point's net where there is more than one.
	Joined []name.Point `json:"joined"`
	// If is what was asked for with --plug, and what it changes.
	If *whatIf `json:"if,omitempty"`

	// source and destination say what the point is itself, if it is either.
	source, destination bool
}

type path struct {
	From  name.Point `json:"from"`
	To    name.Point `json:"to"`
	Steps []pathStep `json:"steps"`
	// Breaks are what would end this way, each by itself.
	Breaks []pathBreak `json:"breaks"`

	way    heard.Way
	breaks []heard.Break
}

type pathStep struct {
	Point name.Point `json:"point"`
	By    string     `json:"by,omitempty"`
}

// pathBreak is one thing that would end a way: a plug in a jack, a cord or a lead
// that is pulled, or a crosspoint that is opened.
type pathBreak struct {
	Do string       `json:"do"` // plug, pull or open
	At []name.Point `json:"at"`
	// Leaves is true where the signal comes another way then.
	Leaves bool `json:"leaves"`
}

// newTraced is a trace as it is answered: lists are never null.
func newTraced(of heard.Trace) traced {
	t := traced{
		Point: of.Point, Hears: notNil(of.Hears), Reaches: notNil(of.Reaches), Origins: notNil(of.Origins),
		Onward: notNil(of.Onward), Paths: []path{}, Joined: notNil(of.Joined), source: of.Source, destination: of.Destination,
	}
	for _, w := range of.Ways {
		t.Paths = append(t.Paths, newPath(w))
	}
	return t
}

func newPath(w heard.TracedWay) path {
	p := path{From: w.From, To: w.To, Steps: []pathStep{}, Breaks: []pathBreak{}, way: w.Way, breaks: w.Breaks}
	for _, step := range w.Steps {
		p.Steps = append(p.Steps, pathStep{step.Point, step.By})
	}
	for _, b := range p.breaks {
		p.Breaks = append(p.Breaks, pathBreak{b.Do.String(), b.At, b.Leaves})
	}
	return p
}

func notNil(points []name.Point) []name.Point {
	if points == nil {
		return []name.Point{}
	}
	return points
}
