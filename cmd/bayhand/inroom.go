package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"bayhand/model/patch"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

// inRoom lets a command speak to the keeper of the room: the daemon's over HTTP
// where one runs, else one in this process that ends with the command. Both
// write the same journal.
func (a *app) inRoom(ctx context.Context, use func(keep.Room) error) error {
	folder, err := a.state()
	if err != nil {
		return err
	}
	client, err := serve.Find(ctx, folder)
	if err == nil {
		return use(client)
	}
	if !errors.Is(err, serve.ErrNobody) {
		return err
	}
	return a.keepMeanwhile(ctx, folder, use)
}

// keepMeanwhile keeps the room in this process for as long as use takes.
func (a *app) keepMeanwhile(ctx context.Context, folder string, use func(keep.Room) error) error {
	store, err := journal.Open(filepath.Join(folder, journal.File))
	if err != nil {
		return fmt.Errorf("the room's journal cannot be opened: %w", err)
	}
	defer store.Close()
	config := a.keeping(store)
	config.Poll = -1 // nobody stays to look
	keeper, err := keep.New(config)
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(ctx)
	ended := make(chan error, 1)
	go func() { ended <- keeper.Run(ctx) }()
	err = use(keeper)
	stop()
	return errors.Join(err, <-ended)
}

// lookAtRoom is the room as the daemon holds it, else as the journal has it. It
// asks no device.
func (a *app) lookAtRoom(ctx context.Context, p *papers) (keep.Status, error) {
	folder, err := a.statePath()
	if err != nil {
		return keep.Status{}, err
	}
	client, err := serve.Find(ctx, folder)
	switch {
	case err == nil:
		return client.Status(ctx)
	case !errors.Is(err, serve.ErrNobody):
		return keep.Status{}, err
	}
	m, err := memory(folder)
	return remembered(m, p.studio), err
}

// memory is what the journal in a folder has; nothing where there is none.
func memory(folder string) (keep.Memory, error) {
	file := filepath.Join(folder, journal.File)
	if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
		return keep.Memory{}, nil
	}
	store, err := journal.Open(file)
	if err != nil {
		return keep.Memory{}, fmt.Errorf("the room's journal cannot be opened: %w", err)
	}
	defer store.Close()
	return store.Load()
}

// knownPatch is the patch that the room is known to be in, without asking any
// device; the rest patch where nobody has said anything yet.
func (a *app) knownPatch(ctx context.Context, p *papers) (patch.Patch, error) {
	folder, err := a.statePath()
	if err != nil {
		return patch.Patch{}, err
	}
	client, err := serve.Find(ctx, folder)
	switch {
	case err == nil:
		status, err := client.Status(ctx)
		return status.Known.Patch(), err
	case !errors.Is(err, serve.ErrNobody):
		return patch.Patch{}, err
	}
	m, err := memory(folder)
	return knownOr(m, p.studio.Rest.Clone()), err
}
