package main

import (
	"context"

	"bayhand/drivers/program"
	"bayhand/model/session"
	"bayhand/model/studio"
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
		Files: midiFiles{g.files}, Ports: machinePorts{}, Clock: keep.SystemClock{}, At: g.control,
		Recall: before.Intent.Recall, Say: say, Changed: changed,
	})
}

// midiFiles reads what can be read; what is wrong with the rest the keeper says.
type midiFiles struct{ *reader }

// soundStudio is the studio's file where it has no errors, and else nil.
func (f midiFiles) soundStudio() *files.Studio {
	if p, err := f.open(); err == nil && p.Room != nil {
		return p
	}
	return nil
}

func (f midiFiles) Studio() *studio.Studio {
	if p := f.soundStudio(); p != nil {
		return p.Studio
	}
	return nil
}

func (f midiFiles) Session(called string) *session.Session {
	p := f.soundStudio()
	if p == nil {
		return nil
	}
	if s, err := f.library().Session(p, called); err == nil && s.Sound() {
		return s.Session
	}
	return nil
}

func (f midiFiles) Sessions() map[string]*session.Session {
	all := map[string]*session.Session{}
	p := f.soundStudio()
	if p == nil {
		return all
	}
	_ = f.library().Each(p, f.at.Names(), func(name string, s *files.Session, err error) error {
		if err == nil && s.Sound() {
			all[name] = s.Session
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
		s.midi.After(got.Status)
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
