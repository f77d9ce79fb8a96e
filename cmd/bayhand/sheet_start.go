package main

import (
	"context"
	"path/filepath"
	"slices"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// sheetStart is where the way of a sheet begins: in what is asked of the planner, and
// in words.
type sheetStart struct {
	request plan.Request
	known   string
	// present are the parts of the patch that is in; nothing where the way begins
	// elsewhere.
	present keep.Known
	// standing is the room where the way begins at what it is known to be in, and held
	// reads the sessions that its rooms are in; nil where the way begins elsewhere.
	standing *keep.Status
	held     func(called string) *session.Session
}

// way is what is asked of the planner for a session, and its answer: in the room as it
// is known the one that a recall would go.
func (b sheetStart) way(ctx context.Context, p *files.Studio, read *files.Session) (plan.Request, *plan.Plan, error) {
	if b.standing == nil {
		b.request.Session = read.Session
		made, err := planner.Make(ctx, b.request)
		return b.request, made, err
	}
	recall, err := keep.NewPreview(p.Studio, *b.standing, read.Name, keep.RecallOptions{Partly: true}, func(called string) *session.Session {
		if called == read.Name {
			return read.Session
		}
		return b.held(called)
	})
	if err != nil {
		return recall.Whole, nil, err
	}
	made, err := recall.Plan(func(ask plan.Request) (*plan.Plan, error) {
		ask.Progress = b.request.Progress
		return planner.Make(ctx, ask)
	})
	return recall.Whole, made, err
}

// start is at the patch that is named, else at the one that the room is known to
// be in, as a plan begins.
func (w sheeting) start(ctx context.Context, a *app, p *files.Studio) (sheetStart, error) {
	b := sheetStart{request: plan.Request{Studio: p.Studio, Partly: true}}
	switch w.from {
	case "":
		if w.since != "" {
			return b, nil // it begins at that session's patch
		}
		return presentStart(ctx, a, p)
	case "rest":
		b.known = "The steps begin at the rest patch."
	case "empty":
		b.known = "The steps begin at the empty bay."
	default:
		b.known = words.Put("The steps begin at the patch in {file}.", "file", dated(w.from, filepath.Base(w.from)))
	}
	err := beginAt(ctx, a, p, w.from, &b.request)
	return b, err
}

// presentStart is at the patch that the room is known to be in, as the daemon or the
// journal has it.
func presentStart(ctx context.Context, a *app, p *files.Studio) (b sheetStart, err error) {
	held := a.room.sessionsOf(p)
	err = a.room.look(ctx, func(s keep.Status) { b = startIn(p, s, held) }, func(m keep.Memory) {
		b = startAt(p, keep.Remembered(m, p.Studio, held), keep.PatchOr(m, p.Studio), m.BayTold, held)
		b.standing.Known = m.OrRest(p.Studio)
	})
	return b, err
}

// startIn is the beginning in a room that is kept.
func startIn(p *files.Studio, status keep.Status, held func(string) *session.Session) sheetStart {
	assumed := slices.ContainsFunc(status.Problems, func(q keep.Problem) bool { return q.Code == "bay-assumed" })
	return startAt(p, status, status.Known.Patch(), !assumed, held)
}

// startAt is the beginning at a patch in a room, with what the software may carry and
// the jacks tagged as faulty, as a recall would begin. Told is true where somebody said
// what is in the bay.
func startAt(p *files.Studio, status keep.Status, from patch.Patch, told bool, held func(string) *session.Session) sheetStart {
	b := sheetStart{standing: &status, held: held, request: keep.RequestFrom(p.Studio, status, from)}
	b.request.Partly = true
	b.known = words.Beginning(status.Known, told)
	if told || len(status.Known.Crosspoints) > 0 {
		b.present = status.Known
	}
	return b
}

// dated says of a patch that has no date of its own on which day its file was written
// last; no more than it says already where nobody can say. The day that papers are to
// carry is the latest that it gives.
func dated(file, patch string) string {
	at, err := disk.Stat(file)
	if err != nil {
		return patch
	}
	day := at.ModTime()
	if today().Before(day) {
		day = today()
	}
	return words.Put("{patch}, written on {day}", "patch", patch, "day", day.Format("2006-01-02"))
}
