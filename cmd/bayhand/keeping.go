package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/model/house"
	"bayhand/model/patch"
	"bayhand/model/planner"
	"bayhand/model/studio"
	"bayhand/recall/files"
	"bayhand/recall/keep"
)

// parts are what a keeper of this studio is put together from.
type parts struct {
	out   *output
	files *reader
	// links are where matrices hang for this once, by their names.
	links map[string]string
	// own says which matrices hang on this host; nil for all.
	own func(m studio.Matrix) bool
	// grants are the lines that need one to be driven here; nil where none does.
	grants *grants
	// control is where the control port is for this once.
	control  string
	displays displays
}

// config is what a keeper of this studio needs, put together from the parts of
// the house.
func (g *parts) config(journal keep.Journal) keep.Config {
	return keep.Config{
		Open:    g.open,
		Refused: func(err error) bool { return errors.Is(err, matrix.ErrRefused) || errors.Is(err, matrix.ErrImpossible) },
		Load:    g.load,
		Plan:    planner.Make,
		Journal: journal,
		Who:     whoAsks(),
		KeepPatch: func(_ context.Context, session string, p patch.Patch) error {
			return g.files.at.KeepPatch(session, p, 0)
		},
	}
}

// openMatrix opens the link of a matrix and puts the driver of its description
// on top. A device that was pulled while it was mute is let be heard before
// anything else is asked: it may have all its crosspoints, and then nothing more
// would be sent to it.
func (g *parts) open(ctx context.Context, m studio.Matrix) (keep.Matrix, error) {
	if m.Device == nil {
		return nil, fmt.Errorf("%s has no device: in the studio's file", m.Name)
	}
	d, err := g.files.at.Description(m.Device.Description)
	if err != nil {
		return nil, err
	}
	granted := g.grants.needed(m.Name)
	if fence := house.FenceOf(m.Device.Link); granted || fence == house.NewestClient || fence == house.OneClient {
		d = afresh(d)
	}
	if granted {
		var stop context.CancelFunc
		ctx, stop = context.WithCancel(ctx)
		defer stop()
		if err := g.grants.opened(m.Name, opening(stop)); err != nil {
			return nil, err
		}
	}
	opened, err := link.Open(ctx, m.Device.Link, link.Options{Serial: d.Serial, Kinds: d.Links})
	if inner := errors.Unwrap(err); inner != nil {
		return nil, inner // whoever says it names the link
	}
	if err != nil {
		return nil, err
	}
	if granted {
		if err := g.grants.opened(m.Name, opened); err != nil {
			return nil, errors.Join(err, opened.Close())
		}
	}
	driven, err := matrix.New(d, m, opened, matrix.SystemClock{})
	if err != nil {
		return nil, errors.Join(err, opened.Close())
	}
	if err := driven.Unmute(ctx); err != nil {
		return nil, errors.Join(err, driven.Close())
	}
	g.displays.label(ctx, m, driven)
	return reporting{driven}, nil
}

// load reads the studio and the sessions that are asked for, for a keeper.
func (g *parts) load(_ context.Context, sessions []string) keep.Files {
	all := g.files.library().Load(sessions)
	if all.Studio != nil {
		all.Studio = g.relinked(all.Studio)
		g.displays.read(all.Studio)
	}
	return all
}

// mostWait bounds the wait for files that are written without a pause, in times of files.StillFor.
const mostWait = 5

// loadWhole reads the files, for a keeper that nobody tells when they change again. Where they
// ask for something else than before and were written just now, that may be half of what is
// being saved: it waits until they stand still.
func (g *parts) loadWhole(ctx context.Context, before keep.Memory, sessions []string) keep.Files {
	all := g.load(ctx, sessions)
	latest := time.Now().Add(mostWait * files.StillFor)
	for keep.Otherwise(before, all) && g.files.waits(ctx, latest, sessions...) {
		all = g.load(ctx, sessions)
	}
	return all
}

// relinked is the studio with the links that were given on the command line in
// the place of the file's.
func (g *parts) relinked(s *studio.Studio) *studio.Studio {
	if len(g.links) == 0 && g.own == nil {
		return s
	}
	to := *s
	to.Matrices = slices.Clone(s.Matrices)
	for i, m := range to.Matrices {
		if g.own != nil && !g.own(m) {
			to.Matrices[i].Device = nil // another host drives it
			continue
		}
		if at, ok := g.links[m.Name]; ok && m.Device != nil {
			moved := *m.Device
			moved.Link = at
			to.Matrices[i].Device = &moved
		}
	}
	return &to
}
