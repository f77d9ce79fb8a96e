package main

import (
	"context"
	"slices"

	"github.com/spf13/cobra"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/words"
)

func (a *app) traceCommand() *cobra.Command {
	var session, file string
	c := &cobra.Command{
		Use:   "trace POINT",
		Short: "What a source reaches, or a destination hears, and by which way",
		Long: `Follow the signal to a point, and from it. Without --session or --patch this is
the patch that the room is known to be in, and at rest where nothing is known.`,
		Example:           "  bayhand trace interface/in1\n  bayhand trace t25 --session curlew-overdubs",
		Args:              arguments(1, 1),
		ValidArgsFunction: a.completePoints,
		RunE: func(c *cobra.Command, args []string) error {
			if err := eitherFlag(c, "session", "patch"); err != nil {
				return err
			}
			return a.trace(c.Context(), args[0], session, file)
		},
	}
	c.Flags().StringVar(&session, "session", "", "with the patch that gives session `S`")
	c.Flags().StringVar(&file, "patch", "", "with the patch in `FILE`")
	must(c.RegisterFlagCompletionFunc("session", a.completeSessions))
	return c
}

func (a *app) trace(ctx context.Context, at, session, file string) error {
	p, err := a.soundStudio()
	if err != nil {
		return err
	}
	in, of, err := a.tracedPatch(ctx, p, session, file)
	if err != nil {
		return err
	}
	room := p.room.For(of, in) // with the session's guests
	point, err := a.point(room.Studio(), at)
	if err != nil {
		return err
	}
	t := newTraced(room.Hear(in), point, of.Inside)
	t.onlyOnward(room.Studio())
	if a.json {
		return a.answer(t)
	}
	a.printTrace(t, words.In(room.Studio()))
	return nil
}

// point reads a point that a person typed, by its full name or the shortest
// that will do.
func (a *app) point(s *studio.Studio, typed string) (name.Point, error) {
	at, err := text.Resolve(s, typed)
	if err != nil {
		return at, wrongUsage("%w", err)
	}
	return at, nil
}

// tracedPatch is the patch to follow, and the session that it is for; an empty
// one where it is for none.
func (a *app) tracedPatch(ctx context.Context, p *papers, named, file string) (patch.Patch, *session.Session, error) {
	if named != "" {
		return a.patchOf(ctx, p, named)
	}
	from := a.knownPatch
	if file != "" {
		from = func(_ context.Context, p *papers) (patch.Patch, error) { return a.patchNamed(p, file) }
	}
	found, err := from(ctx, p)
	return found, &session.Session{}, err
}

// traced is the answer of trace.
type traced struct {
	Point   name.Point   `json:"point"`
	Hears   []name.Point `json:"hears"`
	Reaches []name.Point `json:"reaches"`
	// Origins came before what is heard, through gear.
	Origins []name.Point `json:"origins"`
	Paths   []path       `json:"paths"`
	// Joined are the outputs on the point's net where there is more than one.
	Joined []name.Point `json:"joined"`

	// source and destination say what the point is itself, if it is either.
	source, destination bool
}

type path struct {
	From  name.Point `json:"from"`
	To    name.Point `json:"to"`
	Steps []pathStep `json:"steps"`
}

type pathStep struct {
	Point name.Point `json:"point"`
	By    string     `json:"by,omitempty"`
}

func newTraced(s *heard.State, at name.Point, inside []studio.Pass) traced {
	t := traced{Point: at, Hears: notNil(s.Hears(at)), Reaches: notNil(s.Reaches(at)), Paths: []path{}, Joined: []name.Point{}}
	t.Origins = before(s.Origins(at, inside), t.Hears)
	for _, w := range s.Ways(at) {
		way := path{From: w.From, To: w.To, Steps: []pathStep{}}
		for _, step := range w.Steps {
			way.Steps = append(way.Steps, pathStep{step.Point, step.By})
		}
		t.Paths = append(t.Paths, way)
	}
	for _, c := range s.Contentions() {
		if s.Joined(c.Drivers[0], at) {
			t.Joined = append(t.Joined, c.Drivers...)
		}
	}
	return t
}

// onlyOnward leaves out that an input reaches itself, and that an output hears
// itself alone.
func (t *traced) onlyOnward(s *studio.Studio) {
	for _, g := range s.Gear {
		for _, port := range g.Ports {
			switch {
			case port.Point != t.Point:
			case port.Direction == studio.Input:
				t.destination, t.Reaches = true, []name.Point{}
			default:
				t.source = true
				t.Hears = slices.DeleteFunc(t.Hears, func(p name.Point) bool { return p == t.Point })
			}
		}
	}
}

// before are the origins that are not heard themselves.
func before(origins, heard []name.Point) []name.Point {
	earlier := []name.Point{}
	for _, o := range origins {
		if !contains(heard, o) {
			earlier = append(earlier, o)
		}
	}
	return earlier
}

func contains(points []name.Point, p name.Point) bool {
	for _, q := range points {
		if p == q {
			return true
		}
	}
	return false
}

func notNil(points []name.Point) []name.Point {
	if points == nil {
		return []name.Point{}
	}
	return points
}
