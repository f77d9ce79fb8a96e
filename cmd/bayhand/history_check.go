package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"bayhand/recall/journal"
)

// soundness is what --check finds.
type soundness struct {
	File   string `json:"file"`
	Sound  bool   `json:"sound"`
	Wrong  string `json:"wrong,omitempty"`
	Events int    `json:"events"`
	// Missing are the numbers of events that cannot be read, as ranges.
	Missing [][2]uint64 `json:"missing"`
	// Patch is true where what the room is in can be read, after so many writes of
	// so many.
	Patch  bool   `json:"patch"`
	Write  uint64 `json:"write"`
	Writes uint64 `json:"writes,omitempty"`
	Backup string `json:"backup,omitempty"`
}

// checkJournal says whether the journal is whole, and what of it can be saved. It
// changes nothing.
func checkJournal(a *app) error {
	file, err := journalFile(a.room)
	if err != nil {
		return err
	}
	wrong := journal.Check(file)
	if wrong != nil && !errors.Is(wrong, journal.ErrDamaged) && !errors.Is(wrong, journal.ErrHeld) {
		return wrong
	}
	saved, err := journal.Salvage(file)
	if err != nil {
		return err
	}
	s := soundness{
		File: file, Sound: !errors.Is(wrong, journal.ErrDamaged), Events: len(saved.Events),
		Missing: append([][2]uint64{}, saved.Missing...), Patch: saved.Memory != nil, Write: saved.Writes, Writes: saved.Of,
	}
	if _, err := os.Stat(file + journal.BackupEnding); err == nil {
		s.Backup = file + journal.BackupEnding
	}
	if !s.Sound {
		s.Wrong = wrong.Error()
	}
	if a.out.json {
		if err := a.out.answer(s); err != nil {
			return err
		}
	} else {
		showSoundness(a.out, s, errors.Is(wrong, journal.ErrHeld))
	}
	if !s.Sound {
		return wrong
	}
	return nil
}

func showSoundness(out *output, s soundness, held bool) {
	switch {
	case held:
		out.printf("%s is held by a process that checked it when it opened it\n", s.File)
	case s.Sound:
		out.printf("%s is whole\n", s.File)
	}
	out.printf("  %d events can be read\n", s.Events)
	for _, m := range s.Missing {
		out.printf("  events %d to %d cannot\n", m[0], m[1])
	}
	switch {
	case !s.Patch && s.Events > 0:
		out.printf("  what the room was in last cannot be read\n")
	case s.Patch && s.Writes > s.Write:
		out.printf("  what the room was in can be read after write %d of %d\n", s.Write, s.Writes)
	case s.Patch:
		out.printf("  what the room was in last can be read\n")
	}
	if s.Backup != "" {
		out.printf("  the backup of the last start is %s\n", s.Backup)
	}
}

// exportJournal writes every event that is whole, the oldest first.
func exportJournal(a *app, to string) error {
	file, err := journalFile(a.room)
	if err != nil {
		return err
	}
	saved, err := journal.Salvage(file)
	if err != nil {
		return err
	}
	if to == "-" {
		return journal.Lines(a.out.to, saved.Events)
	}
	var lines bytes.Buffer
	if err := journal.Lines(&lines, saved.Events); err != nil {
		return err
	}
	if err := write(to, lines.Bytes()); err != nil {
		return err
	}
	a.out.printf("wrote %d events to %s\n", len(saved.Events), to)
	for _, m := range saved.Missing {
		a.out.complainf("bayhand: events %d to %d cannot be read\n", m[0], m[1])
	}
	return nil
}

// journalFile is the journal of the room; an error where nothing was written yet.
func journalFile(d *door) (string, error) {
	folder, err := d.statePath()
	if err != nil {
		return "", err
	}
	file := filepath.Join(folder, journal.File)
	if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("nothing was done in this room yet: there is no %s", file)
	}
	return file, nil
}
