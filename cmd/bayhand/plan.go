package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// planning is how a plan is wished, from the flags.
type planning struct {
	from   string
	prefer string
	effort int64
	within time.Duration
	leave  bool
	partly bool
}

func planCommand(a *app) *cobra.Command {
	var w planning
	c := &cobra.Command{
		Use:   "plan SESSION",
		Short: "The steps to a session: cords, crosspoints, and their order",
		Long: `Find the patch that sets the session up with the fewest plugs to handle from the
one that is in, and the order of the steps to it. Nothing is changed.`,
		Example:           "  bayhand plan curlew-overdubs\n  bayhand plan tern-mix-2 --from tuesday.yaml --json",
		Args:              oneSession(a),
		ValidArgsFunction: completeSessions(a),
		RunE:              func(c *cobra.Command, args []string) error { return runPlan(c.Context(), a, args[0], w) },
	}
	c.Flags().StringVar(&w.from, "from", "", "from the patch in `FILE`, or from rest, or from empty (default: the present patch)")
	c.Flags().StringVar(&w.prefer, "prefer", "same", "same (as last time), plain (no tricks) or fewest (plugs)")
	c.Flags().Int64Var(&w.effort, "effort", 0, effortHelp)
	c.Flags().DurationVar(&w.within, "within", 0, "stop the search after this `TIME`, such as 2s")
	c.Flags().BoolVar(&w.leave, "leave", false, "leave cords in that the session does not need")
	c.Flags().BoolVar(&w.partly, "partly", false, "plan what is possible of a session that is not")
	must(c.RegisterFlagCompletionFunc("prefer", completePreference))
	return c
}

// effortHelp explains --effort, of plan and recall alike.
var effortHelp = fmt.Sprintf("bound the search to `N` million steps (0: %d)", plan.DefaultEffort)

func completePreference(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return plan.Preferences(), cobra.ShellCompDirectiveNoFileComp
}

// preference reads the word of --prefer.
func preference(word string) (plan.Prefer, error) {
	prefer, err := plan.ParsePrefer(word)
	if err != nil {
		return 0, wrongUsage("--prefer: %w", err)
	}
	return prefer, nil
}

// check refuses flags that make no sense.
func (w planning) check() error {
	if w.within < 0 {
		return wrongUsage("--within: a search cannot end before it begins; leave it out for no bound")
	}
	return bounded(w.prefer, w.effort)
}

// bounded refuses a preference and an effort that make no sense.
func bounded(prefer string, effort int64) error {
	if err := plan.CheckEffort(effort); err != nil {
		return wrongUsage("--effort: %w", err)
	}
	_, err := preference(prefer)
	return err
}

// made is the plan from the patch that is named, else the one that a recall would go in
// the room as it is known.
func (w planning) made(ctx context.Context, a *app, p *files.Studio, called string, s *session.Session, progress func(done, least, best int)) (*plan.Plan, error) {
	prefer, err := preference(w.prefer)
	if err != nil {
		return nil, err
	}
	if w.from != "" {
		from, err := a.files.named(p, w.from)
		if err != nil {
			return nil, err
		}
		return planner.Make(ctx, plan.Request{Studio: p.Studio, Session: s, From: from, Prefer: prefer, Effort: w.effort, LeaveCords: w.leave, Partly: w.partly, FirstID: 1, Progress: progress})
	}
	recall, err := a.previewed(ctx, p, called, s, keep.RecallOptions{Prefer: w.prefer, LeaveCords: w.leave, Partly: w.partly})
	if err != nil {
		return nil, err
	}
	return recall.Plan(func(ask plan.Request) (*plan.Plan, error) {
		ask.Effort, ask.Progress = w.effort, progress
		return planner.Make(ctx, ask)
	})
}

// previewed is the recall of a session in the room as it is known.
func (a *app) previewed(ctx context.Context, p *files.Studio, called string, s *session.Session, options keep.RecallOptions) (keep.Preview, error) {
	status, err := a.standing(ctx, p)
	if err != nil {
		return keep.Preview{}, err
	}
	a.view.warnOfStrays(p, status)
	return keep.NewPreview(p.Studio, status, called, options, func(other string) *session.Session {
		if other == called {
			return s
		}
		return a.files.library().Held(p, other)
	})
}

// standing is the room as it is known: at rest where nobody has said anything yet.
func (a *app) standing(ctx context.Context, p *files.Studio) (status keep.Status, err error) {
	err = a.room.look(ctx, func(s keep.Status) { status = s }, func(m keep.Memory) {
		status = keep.Remembered(m, p.Studio, a.room.sessionsOf(p))
		status.Known = m.OrRest(p.Studio)
	})
	return status, err
}

func runPlan(ctx context.Context, a *app, typed string, w planning) error {
	called := a.files.called(typed)
	if err := w.check(); err != nil {
		return err
	}
	a.files.saved(ctx, called)
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	s, err := a.files.session(p, called)
	if err != nil {
		return err
	}
	if w.within > 0 {
		var stop context.CancelFunc
		ctx, stop = context.WithTimeout(ctx, w.within)
		defer stop()
	}
	shown := newProgress(a.out.err)
	made, err := w.made(ctx, a, p, called, s.Session, shown.tell)
	shown.end()
	if err != nil {
		return cutShort(err, w.within)
	}
	return showPlan(a.out, p, s, made, w.effort)
}

func cutShort(err error, within time.Duration) error {
	if errors.Is(err, context.DeadlineExceeded) {
		return &failure{cannot, errors.New(words.Put("no plan was found within {within}; allow more time", "within", within.String()))}
	}
	return err
}

// start is the patch that is named, else the one that the room is known to be in.
func start(ctx context.Context, a *app, p *files.Studio, from string) (patch.Patch, error) {
	if from == "" {
		return a.room.patch(ctx, p)
	}
	return a.files.named(p, from)
}

// beginAt puts into a request what a plan begins with: the patch that is named, else
// the room as it is known, with what the software may carry and the jacks tagged as
// faulty, as a recall would.
func beginAt(ctx context.Context, a *app, p *files.Studio, from string, request *plan.Request) (err error) {
	if request.From, err = start(ctx, a, p, from); err != nil || from != "" {
		return err
	}
	status, err := a.room.status(ctx, p)
	begin := keep.RequestFrom(p.Studio, status, request.From)
	request.Studio, request.PreviousInside = begin.Studio, begin.PreviousInside
	return err
}

// patchOf is the patch that gives a session, as givenBy has it. Where the room cannot be
// asked, its files are enough.
func patchOf(ctx context.Context, a *app, p *files.Studio, named string) (patch.Patch, *session.Session, error) {
	read, err := a.files.session(p, named)
	if err != nil {
		return patch.Patch{}, nil, err
	}
	shown := newProgress(a.out.err)
	var room []patch.Patch
	if status, err := a.standing(ctx, p); err == nil {
		room = inRoom(status, read.Name)
	}
	in, all, err := givenBy(ctx, p, read.Session, room, shown.tell)
	shown.end()
	if err != nil {
		return patch.Patch{}, nil, err
	}
	if !all {
		a.out.complainf("%s is not possible; this is what is possible of it\n", named)
	}
	return in, read.Session, nil
}
