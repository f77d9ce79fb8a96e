package main

import (
	"context"
	"io"
	"log/slog"

	"bayhand/recall/keep"
)

// logged is a journal whose history goes to a log as well, for whoever reads the
// logs of the machine.
type logged struct {
	keep.Journal
	log *slog.Logger
}

// Write writes down, and then says what was done.
func (l logged) Write(m keep.Memory, events []keep.Event) error {
	if err := l.Journal.Write(m, events); err != nil {
		l.log.Error("the journal cannot be written", "why", err)
		return err
	}
	for _, e := range events {
		level := slog.LevelInfo
		if e.Kind == keep.Trouble {
			level = slog.LevelWarn
		}
		parts := []any{"kind", string(e.Kind)}
		for _, p := range [][2]string{{"session", e.Session}, {"matrix", e.Matrix}, {"by", e.By}} {
			if p[1] != "" {
				parts = append(parts, p[0], p[1])
			}
		}
		l.log.Log(context.Background(), level, e.Text, parts...)
	}
	return nil
}

// logger is the log of a daemon that is to say what happens; one that says
// nothing otherwise.
func logger(wanted bool, out io.Writer) *slog.Logger {
	if !wanted {
		return slog.New(slog.DiscardHandler)
	}
	return slog.New(slog.NewTextHandler(out, nil))
}
