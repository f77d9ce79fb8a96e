package main

import (
	"context"
	"slices"

	"bayhand/recall/files"
	"bayhand/recall/keep"
)

// titles gives the titles of sessions by their names, as their files have them now; nil
// where no studio could be read.
func titles(a *app, p *files.Studio) func(session string) string {
	if p == nil || p.Room == nil {
		return nil
	}
	return func(session string) string { return a.files.library().Title(p, session) }
}

// askedForKnown refuses a session that nobody knows: one without a file, of which the
// history has nothing either.
func askedForKnown(ctx context.Context, a *app, b book, q keep.Query) error {
	names := a.files.at.Names()
	if q.Session == "" || q.Session == keep.RestName || slices.Contains(names, q.Session) {
		return nil
	}
	events, err := b.Find(ctx, keep.Query{Session: q.Session, Last: 1})
	if err != nil || len(events) > 0 {
		return err
	}
	return unknownName(q.Session, names, "there is no session %q, nor anything of one in the history; %s", q.Session, a.files.at.Which())
}
