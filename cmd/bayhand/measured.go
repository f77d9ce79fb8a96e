package main

import (
	"context"
	"os"
	"slices"
	"time"

	"bayhand/model/patch"
	"bayhand/model/suspect"
	"bayhand/recall/keep"
)

// freshFor is how old a recording may be to say what is plugged now.
const freshFor = time.Hour

// learnt is what the keeper has been told after listening: cords that are measured
// now, and cords that were and are only told again.
type learnt struct{ measured, doubted []patch.Cord }

// tell tells the keeper of the cords that were heard where they are known to be, and
// of those that were measured before and are in doubt now. Only a reading without a
// single finding, of the patch that the room is known to be in, from a recording
// that was made since and not long ago, says that a cord is measured.
func (v *verified) tell(ctx context.Context, a *app, recordings []string) (l learnt, err error) {
	if !v.listening.ofRoom || v.nothing {
		return l, nil
	}
	made, err := oldest(recordings)
	if err != nil || time.Since(made) > freshFor {
		return l, err
	}
	err = a.room.in(ctx, func(room keep.Room) error {
		status, err := room.Status(ctx)
		if err != nil {
			return err
		}
		for _, c := range status.Known.Cords {
			var act keep.Deed
			switch {
			case v.asItShould() && slices.ContainsFunc(v.found.Sure, c.Same) && c.Since.Before(made):
				act, l.measured = keep.WasHeard, append(l.measured, c.Cord)
			case c.How == keep.Measured && v.doubts(c.Cord):
				act, l.doubted = keep.NotHeard, append(l.doubted, c.Cord)
			default:
				continue
			}
			if _, err := room.Act(ctx, keep.Act{Do: act, A: c.A, B: c.B}); err != nil {
				return err
			}
		}
		return nil
	})
	return l, err
}

// doubts says whether a finding, or what else it may be, is about a cord.
func (v *verified) doubts(c patch.Cord) bool {
	for _, f := range v.found.Findings {
		if f.Concerns(c) || slices.ContainsFunc(f.OrElse, func(m suspect.Mistake) bool { return m.Concerns(c) }) {
			return true
		}
	}
	return false
}

// oldest is when the first of some files was written last.
func oldest(names []string) (time.Time, error) {
	var first time.Time
	for i, n := range names {
		info, err := os.Stat(n)
		if err != nil {
			return first, err
		}
		if at := info.ModTime(); i == 0 || at.Before(first) {
			first = at
		}
	}
	return first, nil
}
