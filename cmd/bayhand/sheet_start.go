package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/paper"
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

// markKnown says of each plug that is in and stays how it is known.
func (b sheetStart) markKnown(stays []paper.RecallCord) {
	for i, c := range stays {
		stays[i].Known = howPlugged(b.present, c.Ends)
	}
}

// howPlugged is how the cord, lead or dummy at some ends is known; empty where it is not
// among what is in.
func howPlugged(k keep.Known, ends []name.Point) string {
	same := func(all ...name.Point) bool {
		return len(all) == len(ends) && !slices.ContainsFunc(all, func(p name.Point) bool { return !slices.Contains(ends, p) })
	}
	for _, c := range k.Cords {
		if same(c.Ends()...) {
			return words.How(c.How)
		}
	}
	for _, l := range k.Leads {
		if same(l.Port, l.Jack) {
			return words.How(l.How)
		}
	}
	for _, d := range k.Dummies {
		if same(d.Jack) {
			return words.How(d.How)
		}
	}
	return ""
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
	held := func(called string) *session.Session { return a.files.library().Held(p, called) }
	err = a.room.look(ctx, func(s keep.Status) { b = startIn(p, s, held) }, func(m keep.Memory) {
		b = startAt(p, remembered(m, p.Studio), knownOr(m, p.Studio.Rest.Clone()), m.BayTold, held)
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
	b := sheetStart{standing: &status, held: held, request: plan.Request{
		Studio: keep.Present(p.Studio, status.Tags, status.Guests, from), From: from, PreviousInside: status.Inside, Partly: true,
	}}
	b.known, b.present = presentWords(status, told)
	return b
}

// presentWords say what the patch that is in is known by; with its parts.
func presentWords(status keep.Status, told bool) (string, keep.Known) {
	inBays, switched := factsOf(status.Known)
	bay, matrices := hows(inBays), hows(switched)
	if !told && len(matrices) == 0 {
		return "The steps begin at the rest patch: nothing is reported in the bay.", keep.Known{}
	}
	inBay := "the rest patch, assumed"
	switch {
	case told && len(bay) == 0:
		inBay = words.Put("nothing, {how}", "how", words.How(keep.Told))
	case told:
		inBay = howWords(bay)
	}
	since, sentence := asOf(slices.Concat(inBays, switched)), ""
	switch said := len(matrices) > 0; {
	case since == "" && said:
		sentence = "The steps begin at the patch that is in (in the bay: {bay}; switched: {matrices})."
	case since == "":
		sentence = "The steps begin at the patch that is in (in the bay: {bay})."
	case said:
		sentence = "The steps begin at the patch that is in since {since} (in the bay: {bay}; switched: {matrices})."
	default:
		sentence = "The steps begin at the patch that is in since {since} (in the bay: {bay})."
	}
	return words.Put(sentence, "since", since, "bay", inBay, "matrices", howWords(matrices)), status.Known
}

// factsOf are those of the bays and of the matrices.
func factsOf(k keep.Known) (bays, matrices []keep.Fact) {
	for _, c := range k.Cords {
		bays = append(bays, c.Fact)
	}
	for _, l := range k.Leads {
		bays = append(bays, l.Fact)
	}
	for _, d := range k.Dummies {
		bays = append(bays, d.Fact)
	}
	for _, c := range k.Crosspoints {
		matrices = append(matrices, c.Fact)
	}
	return bays, matrices
}

func hows(all []keep.Fact) []keep.How {
	var of []keep.How
	for _, f := range all {
		of = append(of, f.How)
	}
	return of
}

// asOf is the time of the newest of some facts; empty where none has one.
func asOf(all []keep.Fact) string {
	var newest time.Time
	for _, f := range all {
		if f.Since.After(newest) {
			newest = f.Since
		}
	}
	if newest.IsZero() {
		return ""
	}
	return newest.Local().Format("2006-01-02 15:04")
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

// howWords are the ways in which something is known, the surest first, with how much
// is known by each where they differ.
func howWords(all []keep.How) string {
	times := map[keep.How]int{}
	for _, how := range all {
		times[how]++
	}
	var said []string
	for _, how := range append(slices.Clone(ways), keep.NotKnown) {
		switch n := times[how]; {
		case n == len(all):
			return words.How(how)
		case n > 0:
			said = append(said, fmt.Sprintf("%d %s", n, words.How(how)))
		}
	}
	return strings.Join(said, ", ")
}

// toward is a request for the way to one patch and to no other: in the room that the
// session makes of the studio, that patch is what it goes back to.
func toward(p *files.Studio, read *files.Session, request plan.Request, target patch.Patch) plan.Request {
	room := *p.Room.For(read.Session, request.From).Studio()
	room.Faulty, room.Rest = request.Studio.Faulty, target
	request.Studio, request.Session = &room, nil
	return request
}

// notGivenBy says what a patch lacks of a session; nothing where it gives all.
func notGivenBy(p *files.Studio, read *files.Session, in patch.Patch, file string) []string {
	faults := p.Room.CheckGiven(read.Session, in, nil)
	if len(faults) == 0 {
		return nil
	}
	var at []name.Point
	for _, f := range faults {
		if !f.Destination.IsZero() && !slices.Contains(at, f.Destination) {
			at = append(at, f.Destination)
		}
	}
	sentence := "The patch in {file} does not set up the whole session."
	if len(at) > 0 {
		sentence = "The patch in {file} does not set up the whole session: look at {places}."
	}
	return []string{words.Put(sentence, "file", filepath.Base(file), "places", words.In(p.Studio).Points(at))}
}
