package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/adrg/xdg"

	"bayhand/recall/files"
	"bayhand/recall/journal"
)

// door leads to the room: to the daemon that keeps it, or to its journal.
type door struct {
	files *reader
	parts *parts
	// stateDir is the folder of the journal; empty for one a studio.
	stateDir string
	// elsewhere is the host that keeps the room which is asked for; nil for this one.
	elsewhere *elsewhere
}

// state is the folder of this studio's journal and of its daemon's address. It
// is made if it is not there, for this user only: the daemon's token is in it.
func (d *door) state() (string, error) {
	folder, err := d.statePath()
	if err != nil {
		return "", err
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return "", fmt.Errorf("the state folder cannot be made: %w; give another with --state DIR", err)
	}
	return folder, nil
}

// journalIn is the journal of a state folder.
func journalIn(folder string) string { return filepath.Join(folder, journal.File) }

// openJournal opens the journal in a state folder.
func openJournal(folder string) (*journal.Journal, error) {
	store, err := journal.Open(journalIn(folder))
	var path *fs.PathError
	switch {
	case errors.Is(err, fs.ErrPermission):
		return nil, fmt.Errorf("the room's journal, %s, cannot be written: %w; give another folder with --state DIR", journalIn(folder), files.Bare(err))
	case errors.As(err, &path):
		return nil, fmt.Errorf("the room's journal, %s, cannot be opened: %w; give another folder with --state DIR", journalIn(folder), files.Bare(err))
	case err != nil:
		return nil, fmt.Errorf("the room's journal cannot be opened: %w", err)
	}
	return store, nil
}

// openToKeep opens the journal for a keeper, and keeps a copy of it; that of a large one is
// made beside what the keeper does. Without room for a copy the room is kept all the same.
func openToKeep(folder string, out *output) (*journal.Journal, error) {
	store, err := openJournal(folder)
	if err != nil {
		return nil, err
	}
	store.BackUpBeside(func(err error) { out.complainf("bayhand: %v\n", err) })
	return store, nil
}

// stateHome is the folder above the state folders of all studios, as a person writes
// it.
func stateHome() string {
	folder := filepath.Join(xdg.StateHome, "bayhand")
	if home, err := os.UserHomeDir(); err == nil {
		if below, ok := strings.CutPrefix(folder, home+string(filepath.Separator)); ok {
			return filepath.Join("~", below)
		}
	}
	return folder
}

// statePath is where the state folder is, made or not.
func (d *door) statePath() (string, error) {
	if d.elsewhere != nil {
		return "", d.elsewhere.unlike()
	}
	if d.stateDir != "" {
		return d.stateDir, nil
	}
	file, err := filepath.Abs(d.files.at.Studio)
	if err != nil {
		return "", fmt.Errorf("the studio's folder is not known: %w", err)
	}
	// Two ways to one file must be one studio.
	if real, err := filepath.EvalSymlinks(file); err == nil {
		file = real
	} else if real, err := filepath.EvalSymlinks(filepath.Dir(file)); err == nil {
		// One that is not there yet will be the same studio once it is.
		file = filepath.Join(real, filepath.Base(file))
	}
	sum := sha256.Sum256([]byte(file))
	name := filepath.Base(filepath.Dir(file)) + "-" + hex.EncodeToString(sum[:4])
	return filepath.Join(xdg.StateHome, "bayhand", name), nil
}
