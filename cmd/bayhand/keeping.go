package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"bayhand/drivers/descriptions"
	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/heard"
	"bayhand/model/order"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/keep"
)

// keeping is what a keeper of this studio needs, put together from the parts of
// the house.
func (a *app) keeping(journal keep.Journal) keep.Config {
	return keep.Config{
		Open:      a.openMatrix,
		Refused:   func(err error) bool { return errors.Is(err, matrix.ErrRefused) },
		Load:      func(_ context.Context, sessions []string) keep.Files { return a.load(sessions) },
		Plan:      makePlan,
		Journal:   journal,
		Who:       whoAsks(),
		KeepPatch: func(_ context.Context, session string, p patch.Patch) error { return a.keepPatch(session, p, 0) },
	}
}

// openMatrix opens the link of a matrix and puts the driver of its description
// on top. A device that was pulled while it was mute is let be heard before
// anything else is asked: it may have all its crosspoints, and then nothing more
// would be sent to it.
func (a *app) openMatrix(ctx context.Context, m studio.Matrix) (keep.Matrix, error) {
	if m.Device == nil {
		return nil, fmt.Errorf("%s has no device: in the studio's file", m.Name)
	}
	d, err := a.description(m.Device.Description)
	if err != nil {
		return nil, err
	}
	opened, err := link.Open(ctx, m.Device.Link, link.Options{Serial: d.Serial, Kinds: d.Links})
	if inner := errors.Unwrap(err); inner != nil {
		return nil, fmt.Errorf("its link cannot be opened: %w", inner) // whoever says it names the link
	}
	if err != nil {
		return nil, err
	}
	driven, err := matrix.New(d, m, opened, matrix.SystemClock{})
	if err != nil {
		return nil, errors.Join(err, opened.Close())
	}
	if err := driven.Unmute(ctx); err != nil {
		return nil, errors.Join(err, driven.Close())
	}
	return reporting{driven}, nil
}

// load reads the studio and the sessions that are asked for; what is wrong with
// them is said with its place.
func (a *app) load(sessions []string) keep.Files {
	p, err := a.library.openStudio(a)
	if err != nil {
		return keep.Files{Problems: []keep.Problem{problemOf("studio-file", err)}}
	}
	files := keep.Files{Sessions: map[string]*session.Session{}, Names: a.sessionNames(), Problems: asProblems(p.problems)}
	if p.room == nil {
		return files
	}
	files.Studio = a.relinked(p.studio)
	for _, name := range sessions {
		s, problems, err := a.library.readSession(a, p, name)
		switch {
		case err != nil:
			files.Problems = append(files.Problems, problemOf("session-file", err))
		case problems.Errors():
			files.Problems = append(files.Problems, asProblems(problems)...)
		default:
			files.Sessions[name] = s
		}
	}
	return files
}

// relinked is the studio with the links that were given on the command line in
// the place of the file's.
func (a *app) relinked(s *studio.Studio) *studio.Studio {
	if len(a.links) == 0 {
		return s
	}
	to := *s
	to.Matrices = slices.Clone(s.Matrices)
	for i, m := range to.Matrices {
		if at, ok := a.links[m.Name]; ok && m.Device != nil {
			moved := *m.Device
			moved.Link = at
			to.Matrices[i].Device = &moved
		}
	}
	return &to
}

func asProblems(problems text.Problems) []keep.Problem {
	var all []keep.Problem
	for _, p := range problems {
		all = append(all, keep.Problem{Code: p.Code, Severity: p.Severity, Message: p.Place.String() + ": " + p.Message})
	}
	return all
}

func problemOf(code string, err error) keep.Problem {
	return keep.Problem{Code: code, Severity: "error", Message: err.Error()}
}

// makePlan answers the keeper's question with a plan whose steps are in order.
func makePlan(ctx context.Context, ask keep.Ask) (*plan.Plan, error) {
	room := heard.NewRoom(ask.Studio)
	options := planner.Options{Prefer: preferences[ask.Prefer], LeaveCords: ask.LeaveCords, Partly: ask.Partly, FirstID: ask.FirstID}
	var made *plan.Plan
	var err error
	if ask.Session == nil {
		made, err = planner.Strip(ctx, room, ask.From, options)
	} else {
		made, err = planner.Make(ctx, room, ask.From, ask.Session, options)
	}
	if err != nil {
		return nil, err
	}
	return made, order.Arrange(room, ask.From, made, ask.Session, ask.PreviousInside)
}

// keepPatch writes the patch that gave a session into its file. The file is
// replaced in one go, so that an editor or a backup never sees half of it. While
// somebody writes it, which is as long as it has not been quiet, it is left alone
// (keep.ErrLater): what they write counts, all of it.
func (a *app) keepPatch(session string, p patch.Patch, quiet time.Duration) error {
	file := a.sessionFile(session)
	if behind, err := filepath.EvalSymlinks(file); err == nil {
		file = behind
	}
	if info, err := os.Stat(file); err == nil && time.Since(info.ModTime()).Abs() < quiet {
		return keep.ErrLater
	}
	src, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	kept, err := text.KeepPatch(src, p)
	if err != nil || string(kept) == string(src) {
		return err
	}
	return replaceFile(file, kept, func() error {
		if now, err := os.ReadFile(file); err != nil || !bytes.Equal(now, src) {
			return keep.ErrLater
		}
		return nil
	})
}

// description reads a device description by its name, or by its path beside the
// studio's file.
func (a *app) description(name string) (*device.Description, error) {
	file, src, err := descriptions.Named(name, filepath.Dir(a.studioFile))
	if err != nil {
		return nil, err
	}
	d, _, problems := text.ReadDevice(file, src)
	if problems.Errors() {
		return nil, problems
	}
	return d, nil
}
