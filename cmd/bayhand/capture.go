package main

import (
	"context"
	"errors"
	"io/fs"

	"github.com/spf13/cobra"

	"bayhand/model/session"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/keep"
)

func captureCommand(a *app) *cobra.Command {
	var from string
	c := &cobra.Command{
		Use:   "capture NAME",
		Short: "Save the present patch as a session (a snapshot)",
		Long: `Write down what is heard where with the present patch, as a session, in
sessions/NAME.yaml. No file is overwritten.`,
		Example: "  bayhand capture tuesday\n  bayhand capture tuesday --patch found.yaml",
		Args:    arguments(1, 1),
		RunE:    func(c *cobra.Command, args []string) error { return runCapture(c.Context(), a, args[0], from) },
	}
	c.Flags().StringVar(&from, "patch", "", "the patch in `FILE` instead")
	must(c.MarkFlagFilename("patch", "yaml", "json"))
	return c
}

func runCapture(ctx context.Context, a *app, session, from string) error {
	if err := files.CheckSession(session); err != nil {
		return wrongUsage("a session cannot be called that: %w", err)
	}
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	found, err := start(ctx, a, p, from)
	if err != nil {
		return err
	}
	file := a.files.at.Session(session)
	if err := disk.Create(file, p.Captured(found, session, a.room.held(ctx, p))); errors.Is(err, fs.ErrExist) {
		return wrongUsage("%w", err)
	} else if err != nil {
		return err
	}
	return a.out.say(map[string]string{"file": file}, "Saved %s. Check it before use.", file)
}

// sessionIn is the session that the room is in, as far as it can be read; nil
// for none.
func (d *door) held(ctx context.Context, p *files.Studio) *session.Session {
	var name string
	err := d.look(ctx, func(s keep.Status) { name = s.Session }, func(m keep.Memory) { name = m.Intent.Session })
	if err != nil {
		return nil
	}
	return d.files.library().Held(p, name)
}
