package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/files"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

// inRoom lets a command speak to the keeper of the room: the daemon's over HTTP
// where one runs, else one in this process that ends with the command. Both
// write the same journal.
func (d *door) in(ctx context.Context, use func(keep.Room) error) error {
	if d.elsewhere != nil {
		return d.elsewhere.there(use)
	}
	folder, err := d.state()
	if err != nil {
		return err
	}
	return d.withDaemon(ctx, folder, use, func() error { return d.parts.meanwhile(ctx, folder, use) })
}

// withDaemon lets use speak to the daemon, and does alone where there is none. A
// daemon that is about to stand up holds the journal before it can be found, so
// it is looked for again when alone finds the journal held.
func (d *door) withDaemon(ctx context.Context, folder string, use func(keep.Room) error, alone func() error) error {
	err := d.asDaemon(ctx, folder, use)
	if !errors.Is(err, serve.ErrNobody) {
		return err
	}
	err = alone()
	if !errors.Is(err, journal.ErrHeld) {
		return err
	}
	if again := d.asDaemon(ctx, folder, use); !errors.Is(again, serve.ErrNobody) {
		return again
	}
	return err
}

// asDaemon lets use speak to the daemon; serve.ErrNobody where there is none.
func (d *door) asDaemon(ctx context.Context, folder string, use func(keep.Room) error) error {
	client, err := serve.Find(ctx, folder)
	if err != nil {
		return err
	}
	defer client.Close()
	client.Who = whoAsks()
	d.sayOtherVersion(client.Version, version())
	return use(client)
}

// sayOtherVersion tells that the daemon is of another version than this command:
// what they do not understand of each other may come from that.
func (d *door) sayOtherVersion(daemon, own string) {
	if daemon == own {
		return
	}
	if daemon == "" {
		daemon = "an older version"
	}
	d.files.out.complainf("bayhand: the daemon of this room is bayhand %s, and this command is bayhand %s; restart the daemon when nobody is in the middle of a recall\n", daemon, own)
}

// keepMeanwhile keeps the room in this process for as long as use takes.
func (g *parts) meanwhile(ctx context.Context, folder string, use func(keep.Room) error) error {
	store, err := openToKeep(folder, g.out)
	if err != nil {
		return err
	}
	defer store.Close()
	before, err := store.Load()
	if err != nil {
		return err
	}
	config := g.config(store)
	config.Load = func(ctx context.Context, sessions []string) keep.Files { return g.loadWhole(ctx, before, sessions) }
	config.Poll, config.Once = -1, true // nobody stays to look
	keeper, err := keep.New(config)
	if err != nil {
		return err
	}
	midi, err := g.midi(store, func(line string) { g.out.complainf("bayhand: %s\n", line) }, nil)
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(ctx)
	ended := make(chan error, 1)
	go func() { ended <- keeper.Run(ctx) }()
	err = use(sending{keeper, midi})
	stop()
	return errors.Join(err, <-ended)
}

// lookAtRoom is the room as the daemon holds it, else as the journal has it. It
// asks no device.
func (d *door) status(ctx context.Context, p *files.Studio) (status keep.Status, err error) {
	err = d.look(ctx, func(s keep.Status) { status = s }, func(m keep.Memory) { status = keep.Remembered(m, p.Studio, d.sessionsOf(p)) })
	return status, err
}

// sessionsOf reads the files of sessions that a room is in.
func (d *door) sessionsOf(p *files.Studio) func(session string) *session.Session {
	return func(name string) *session.Session { return d.files.library().Held(p, name) }
}

// knownPatch is the patch that the room is known to be in, without asking any
// device; the rest patch where nobody has said anything yet.
func (d *door) patch(ctx context.Context, p *files.Studio) (known patch.Patch, err error) {
	err = d.look(ctx, func(s keep.Status) { known = s.Known.Patch() },
		func(m keep.Memory) { known = keep.PatchOr(m, p.Studio) })
	return known, err
}

// look hands over what the daemon knows, else what the journal has.
func (d *door) look(ctx context.Context, kept func(keep.Status), written func(keep.Memory)) error {
	ask := func(room keep.Room) error {
		status, err := room.Status(ctx)
		kept(status)
		return err
	}
	if d.elsewhere != nil {
		return d.elsewhere.there(ask)
	}
	folder, err := d.statePath()
	if err != nil {
		return err
	}
	return d.withDaemon(ctx, folder, ask, func() error {
		m, err := memory(folder)
		written(m)
		return err
	})
}

// memory is what the journal in a folder has; nothing where there is none.
func memory(folder string) (keep.Memory, error) {
	file := filepath.Join(folder, journal.File)
	if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
		return keep.Memory{}, nil
	}
	store, err := openJournal(folder)
	if err != nil {
		return keep.Memory{}, err
	}
	defer store.Close()
	return store.Load()
}
