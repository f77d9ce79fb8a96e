package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"github.com/spf13/cobra"

	"bayhand/recall/files"
	"bayhand/recall/journal"
	"bayhand/recall/words"
)

func stateCommand(a *app) *cobra.Command {
	var backup, restore string
	c := &cobra.Command{
		Use:        "state",
		SuggestFor: []string{"backup"},
		Short:      "Where the room's journal is; copy it, or bring it back",
		Long: `Show the state folder of this studio, with the journal of the room: what was
recalled, plugged and switched. A backup is one file, made while the daemon runs
or not, and looked at before it counts; it has no token and lets nobody in.

To restore one, stop the daemon first. The journal that it replaces stays beside
it, and a person is asked what is plugged, as after every start.`,
		Example: "  bayhand state\n  bayhand state --backup /media/stick/heron.db\n  bayhand state --restore /media/stick/heron.db",
		Args:    arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			if err := eitherFlag(c, "backup", "restore"); err != nil {
				return err
			}
			s := &stateShower{out: a.out, room: a.room}
			switch {
			case backup != "":
				return s.backUp(backup)
			case restore != "":
				return s.restore(restore)
			default:
				return s.show()
			}
		},
	}
	c.Flags().StringVar(&backup, "backup", "", "copy the journal to `FILE`, which must not be there yet")
	c.Flags().StringVar(&restore, "restore", "", "put the journal in `FILE` in the place of this studio's")
	return c
}

type stateShower struct {
	out  *output
	room *door
}

// stateFile is one file of the state folder.
type stateFile struct {
	Name  string    `json:"name"`
	Bytes int64     `json:"bytes"`
	When  time.Time `json:"changed"`
}

// stateAnswer is what there is of a studio's state.
type stateAnswer struct {
	Folder  string `json:"folder"`
	Version string `json:"version"`
	// Format is that of the journal which this program writes.
	Format int         `json:"format"`
	Files  []stateFile `json:"files"`
}

func (s *stateShower) show() error {
	folder, err := s.room.statePath()
	if err != nil {
		return err
	}
	answer := stateAnswer{Folder: folder, Version: version(), Format: journal.Version, Files: []stateFile{}}
	entries, err := os.ReadDir(folder)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	for _, e := range entries {
		if info, err := e.Info(); err == nil && info.Mode().IsRegular() {
			answer.Files = append(answer.Files, stateFile{e.Name(), info.Size(), info.ModTime()})
		}
	}
	if s.out.json {
		return s.out.answer(answer)
	}
	if _, missing := s.room.files.open(); missing != nil && len(answer.Files) == 0 {
		return missing
	}
	s.out.printf("%s\n", folder)
	if len(answer.Files) == 0 {
		s.out.printf("  nothing was done in this room yet\n")
	}
	for _, f := range answer.Files {
		s.out.printf("  %-20s %10s  %s\n", f.Name, amount(f.Bytes), f.When.Format("2006-01-02 15:04"))
	}
	s.out.printf("bayhand %s; its journals have format %d\n", answer.Version, answer.Format)
	return nil
}

// amount is a number of bytes for people, in steps of a thousand.
func amount(bytes int64) string {
	switch {
	case bytes < 1000:
		return fmt.Sprintf("%d B", bytes)
	case bytes < 1_000_000:
		return fmt.Sprintf("%.1f kB", float64(bytes)/1e3)
	}
	return fmt.Sprintf("%.1f MB", float64(bytes)/1e6)
}

func (s *stateShower) backUp(to string) error {
	file, err := journalFile(s.room)
	if err != nil {
		return err
	}
	writes, err := journal.Copy(file, to)
	if errors.Is(err, fs.ErrExist) {
		return wrongUsage("%s is there already; name a new file", to)
	} else if err != nil {
		return err
	}
	return s.out.say(map[string]any{"file": to, "writes": writes}, "the journal is copied to %s, whole", to)
}

func (s *stateShower) restore(from string) error {
	folder, err := s.room.state()
	if err != nil {
		return err
	}
	if _, err := os.Stat(from); err != nil {
		return wrongUsage("%w", &files.Unread{What: "the backup", File: from, Err: err, Hint: "give a file that bayhand state --backup wrote"})
	}
	before, err := journal.Restore(journalIn(folder), from)
	switch {
	case errors.Is(err, journal.ErrHeld):
		return fmt.Errorf("%w; stop the daemon first", err)
	case errors.Is(err, journal.ErrDamaged): // the backup: what is wrong with the journal does not matter
		return errors.New(words.Put("{backup} is no backup of a journal, or it is damaged: nothing was changed; give a file that bayhand state --backup wrote", "backup", from))
	case err != nil:
		return err
	}
	sentence := "the journal of {backup} is in its place"
	if before != "" {
		sentence = "the journal of {backup} is in its place; the one before is {before}"
	}
	return s.out.say(map[string]any{"file": journalIn(folder), "before": before}, "%s", words.Put(sentence, "backup", from, "before", before))
}
