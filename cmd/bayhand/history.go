package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"bayhand/recall/journal"
	"bayhand/recall/keep"
	"bayhand/recall/serve"
	"bayhand/recall/words"
)

// asked are the flags of history, as they were typed.
type asked struct {
	since, until, session, point string
	room                         string
	at, pruneBefore              string
	recalls                      bool
	last                         int
	check                        bool
	export                       string
}

func historyCommand(a *app) *cobra.Command {
	var q asked
	c := &cobra.Command{
		Use:        "history",
		SuggestFor: []string{"log", "journal"},
		Short:      "What was done in the room, and when",
		Long: `Every recall and every change, the oldest first: what was recalled, what was
reported plugged, what the matrices were sent and answered. A date is
2031-05-04, 2031-05-04T10:20 or a whole time of RFC 3339. With --at it is what
was in then, as it was known.

Nothing is ever forgotten by itself; --prune-before forgets on request. --check
looks at every page and every sum of the journal, and --export saves all of it
that is whole, also of one that is damaged.`,
		Example: `  bayhand history --since 2031-05-04
  bayhand history --session tern-mix-1 --recalls
  bayhand history --point main/t33 --last 1
  bayhand history --at 2031-05-04
  bayhand history --prune-before 2030-01-01
  bayhand history --check
  bayhand history --export saved.jsonl`,
		Args: arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			for _, other := range []string{"export", "at", "prune-before"} {
				if err := eitherFlag(c, "check", other); err != nil {
					return err
				}
			}
			return runHistory(c.Context(), a, q)
		},
	}
	f := c.Flags()
	f.StringVar(&q.since, "since", "", "from this `DATE` on")
	f.StringVar(&q.until, "until", "", "before this `DATE`")
	f.StringVar(&q.session, "session", "", "while this `SESSION` was recalled")
	f.StringVar(&q.room, "room", "", "what was done in this `ROOM`, or in all of the studio")
	f.StringVar(&q.point, "point", "", "what was done at this `POINT`")
	f.BoolVar(&q.recalls, "recalls", false, "only recalls, and when they were ready")
	f.IntVar(&q.last, "last", 0, "only the newest `N`")
	f.StringVar(&q.at, "at", "", "what was in at this `DATE`; of a day, at its end")
	f.StringVar(&q.pruneBefore, "prune-before", "", "forget what was before this `DATE`")
	f.BoolVar(&q.check, "check", false, "whether the journal is whole, and if not what can be saved")
	f.StringVar(&q.export, "export", "", "write all events that are whole to this `FILE`, a line of JSON each")
	return c
}

// history is the answer to the flags: events, a patch, or how much was pruned.
func runHistory(ctx context.Context, a *app, typed asked) error {
	q, err := query(a, typed)
	if err != nil {
		return err
	}
	switch {
	case typed.check:
		return checkJournal(a)
	case typed.export != "":
		return exportJournal(a, typed.export)
	case typed.pruneBefore != "":
		before, err := date(typed.pruneBefore, false)
		if err != nil {
			return err
		}
		return a.room.book(ctx, func(b book) error { return prune(a.out, ctx, b, before) })
	case typed.at != "":
		at, err := date(typed.at, true)
		if err != nil {
			return err
		}
		return a.room.book(ctx, func(b book) error { return showIn(a.out, ctx, b, at) })
	}
	p, missing := a.files.open() // for the names on its panels; a history needs no studio
	return a.room.book(ctx, func(b book) error {
		events, err := b.Find(ctx, q)
		if err == nil && len(events) == 0 {
			err = askedForKnown(ctx, a, b, q)
		}
		if err != nil {
			return err
		}
		if len(events) == 0 && missing != nil {
			return missing // of no studio nothing is known, which is another thing than that nothing was done
		}
		return showEvents(a.out, events, titles(a, p))
	})
}

func query(a *app, typed asked) (q keep.Query, err error) {
	q = keep.Query{Session: a.files.called(typed.session), Room: typed.room, Last: typed.last}
	if typed.last < 0 {
		return q, wrongUsage("--last %d is not valid; write how many of the newest events are wanted", typed.last)
	}
	if q.From, err = date(typed.since, false); err != nil {
		return q, err
	}
	if q.Until, err = date(typed.until, false); err != nil {
		return q, err
	}
	if typed.recalls {
		q.Kinds = []keep.Kind{keep.Recalled, keep.WasGiven}
	}
	if typed.point == "" {
		return q, nil
	}
	p, err := a.files.sound()
	if err != nil {
		return q, err
	}
	q.Point, err = pointIn(p.Studio, typed.point)
	return q, err
}

// date reads a time as people write it, here; end makes a whole day its end.
func date(typed string, end bool) (time.Time, error) {
	if typed == "" {
		return time.Time{}, nil
	}
	if day, err := time.ParseInLocation(time.DateOnly, typed, time.Local); err == nil {
		if end {
			day = day.AddDate(0, 0, 1).Add(-time.Nanosecond)
		}
		return day, nil
	}
	for _, form := range []string{"2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02T15:04:05", time.RFC3339} {
		if at, err := time.ParseInLocation(form, typed, time.Local); err == nil {
			return at, nil
		}
	}
	return time.Time{}, wrongUsage("%q is no date; write one such as 2031-05-04 or 2031-05-04T10:20", typed)
}

func showEvents(out *output, events []keep.Event, title func(session string) string) error {
	if out.json {
		return journal.Lines(out.to, events)
	}
	for _, h := range words.History(events, title) {
		out.printf("%s  %s\n", h.At.Local().Format("2006-01-02 15:04:05"), h.Text)
	}
	if len(events) == 0 {
		out.printf("no such event was written down\n")
	}
	return nil
}

func showIn(out *output, ctx context.Context, b book, at time.Time) error {
	events, err := b.Find(ctx, keep.Query{})
	if err != nil {
		return err
	}
	known, ok := keep.In(events, at)
	if !ok {
		return fmt.Errorf("what was in on %s was not written down; the history begins later", at.Local().Format("2006-01-02 15:04"))
	}
	if out.json {
		return out.answer(struct {
			At    time.Time  `json:"at"`
			Known keep.Known `json:"known"`
		}{at, known})
	}
	out.printf("in at %s:\n", at.Local().Format("2006-01-02 15:04:05"))
	in := known.Patch()
	for _, c := range in.Cords {
		if c.B.IsZero() {
			out.printf("  cord %s, its other end loose\n", c.A)
			continue
		}
		out.printf("  cord %s - %s\n", c.A, c.B)
	}
	for _, l := range in.Leads {
		out.printf("  gear cable %s - %s\n", l.Port, l.Jack)
	}
	for _, j := range in.Dummies {
		out.printf("  dummy %s\n", j)
	}
	for _, c := range known.Crosspoints {
		if !c.Input.IsZero() {
			out.printf("  %s -> %s (%s)\n", c.Input, c.Output, words.How(c.How))
		}
	}
	return nil
}

func prune(out *output, ctx context.Context, b book, before time.Time) error {
	n, err := b.Prune(ctx, before)
	if err != nil {
		return err
	}
	if out.json {
		return out.answer(map[string]int{"pruned": n})
	}
	out.printf("forgot %d events from before %s\n", n, before.Local().Format("2006-01-02 15:04"))
	return nil
}

// book is the history, the daemon's or the journal's own.
type book interface {
	Find(context.Context, keep.Query) ([]keep.Event, error)
	Prune(context.Context, time.Time) (int, error)
}

// opened is a journal that nobody else holds.
type opened struct{ journal *journal.Journal }

func (o opened) Find(_ context.Context, q keep.Query) ([]keep.Event, error) { return o.journal.Find(q) }
func (o opened) Prune(_ context.Context, before time.Time) (int, error) {
	return o.journal.Prune(before, keep.Event{At: time.Now(), By: whoAsks()})
}

// inBook opens the history where it is held.
func (d *door) book(ctx context.Context, use func(book) error) error {
	folder, err := d.statePath()
	if err != nil {
		return err
	}
	return d.withDaemon(ctx, folder, func(room keep.Room) error {
		return use(room.(*serve.Client))
	}, func() error {
		file := filepath.Join(folder, journal.File)
		if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
			return use(unwritten{})
		}
		store, err := openJournal(folder)
		if err != nil {
			return err
		}
		defer store.Close()
		return use(opened{store})
	})
}

// unwritten is the history of a room in which nothing was done yet.
type unwritten struct{}

func (unwritten) Find(context.Context, keep.Query) ([]keep.Event, error) { return nil, nil }
func (unwritten) Prune(context.Context, time.Time) (int, error)          { return 0, nil }

// whoAsks is the name of the person at this terminal, for the history.
func whoAsks() string {
	if u, err := user.Current(); err == nil {
		return u.Username
	}
	return ""
}
