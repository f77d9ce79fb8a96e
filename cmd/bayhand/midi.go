package main

import (
	"context"
	"path/filepath"

	"bayhand/drivers/program"
	"bayhand/model/session"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/remote"
)

// machinePorts are the MIDI ports of this machine.
type machinePorts struct{}

func (machinePorts) Hear(ctx context.Context, port string, ready func(), heard func(program.Program)) error {
	return program.Hear(ctx, port, ready, heard)
}

func (machinePorts) Send(port string, p program.Program) error { return program.Send(port, p) }

// roomMIDI is the MIDI of the room that a journal is about. What was recalled
// before now has had its programs sent.
func (g *parts) midi(store keep.Journal, say func(string), changed func()) (*remote.Remote, error) {
	before, err := store.Load()
	if err != nil {
		return nil, err
	}
	return remote.New(remote.Config{
		Files: g.midiFiles, Ports: machinePorts{}, Clock: keep.SystemClock{}, At: g.control,
		Recall: before.Intent.Recall, Say: say, Changed: changed,
	})
}

// midiFiles reads what can be read; what is wrong with the rest the keeper says.
func (g *parts) midiFiles(_ context.Context, intended string) remote.Files {
	p, err := g.files.open()
	if err != nil || p.Room == nil {
		return remote.Files{}
	}
	all := remote.Files{Studio: p.Studio, Sessions: map[string]*session.Session{}}
	names := g.files.at.Names()
	if filepath.Ext(intended) == files.Ending {
		names = append(names, intended)
	}
	_ = g.files.library().Each(p, names, func(name string, s *files.Session, err error) error {
		if err == nil && s.Sound() {
			all.Sessions[name] = s.Session
		}
		return nil // the next may be read
	})
	return all
}

// sending is a room that nobody stays in: it sends the programs of gear as soon as
// a recall is carried out.
type sending struct {
	keep.Room
	midi *remote.Remote
}

// Act does what is asked, and sends the programs of what is intended then.
func (s sending) Act(ctx context.Context, act keep.Act) (keep.Answer, error) {
	got, err := s.Room.Act(ctx, act)
	if act.Do == keep.ToRecall || act.Do == keep.ToUndo {
		s.midi.After(ctx, got.Status)
	}
	return got, err
}

// controlPort refuses a port that can be none.
func controlPort(port string) error {
	if port == "" {
		return nil
	}
	if err := program.Check(port); err != nil {
		return wrongUsage("--control %s: %v", port, err)
	}
	return nil
}
