package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"bayhand/model/capture"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/keep"
)

func (a *app) captureCommand() *cobra.Command {
	var from string
	c := &cobra.Command{
		Use:   "capture NAME",
		Short: "Write the present patch as a session",
		Long: `Write down what is heard where with the present patch, as a session, in
sessions/NAME.yaml. No file is overwritten.`,
		Example: "  bayhand capture tuesday\n  bayhand capture tuesday --patch found.yaml",
		Args:    arguments(1, 1),
		RunE:    func(c *cobra.Command, args []string) error { return a.capture(c.Context(), args[0], from) },
	}
	c.Flags().StringVar(&from, "patch", "", "the patch in `FILE` instead")
	must(c.MarkFlagFilename("patch", "yaml", "json"))
	return c
}

func (a *app) capture(ctx context.Context, session, from string) error {
	if err := name.CheckOwner(session); err != nil {
		return wrongUsage("a session cannot be called that: %w", err)
	}
	p, err := a.soundStudio()
	if err != nil {
		return err
	}
	found, err := a.start(ctx, p, from)
	if err != nil {
		return err
	}
	file := a.sessionFile(session)
	if err := create(file, a.captured(p, found, session, a.sessionIn(ctx, p))); err != nil {
		return err
	}
	return a.say(map[string]string{"file": file}, "%s is written; read it through before you rely on it", file)
}

// captured is the session that a patch gives, in the room of the session that
// the room is in, if any.
func (a *app) captured(p *papers, found patch.Patch, name string, in *session.Session) []byte {
	if in == nil {
		in = &session.Session{}
	}
	made := capture.Within(p.room, in, found, name)
	remarks := []string{"Captured from what was known of the patch. Read it through."}
	if carried := text.Chains(capture.Normals(p.room, in, found), p.studio, made.Guests); len(carried) > 0 {
		remarks = append(remarks, "Not asked for, since the normals do it by themselves:")
		for _, line := range carried {
			remarks = append(remarks, "  "+line)
		}
	}
	return text.WriteSession(*made, text.InStudio(p.studio), text.Remarks(remarks...))
}

// sessionIn is the session that the room is in, as far as it can be read; nil
// for none.
func (a *app) sessionIn(ctx context.Context, p *papers) *session.Session {
	var name string
	err := a.look(ctx, func(s keep.Status) { name = s.Session }, func(m keep.Memory) { name = m.Intent.Session })
	if err != nil {
		return nil
	}
	return a.sessionOf(p, name)
}

// sessionOf is a session that the room is said to be in; nil where it is none.
func (a *app) sessionOf(p *papers, name string) *session.Session {
	if name == "" || name == keep.RestName {
		return nil
	}
	s, _, problems, err := a.readSession(p, name)
	if err != nil || problems.Errors() {
		return nil
	}
	return s
}

// create writes a file that must not be there yet.
func create(file string, content []byte) error {
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return err
	}
	made, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return wrongUsage("%s is there already, and nothing was written; choose another name", file)
	}
	if err != nil {
		return err
	}
	_, err = made.Write(content)
	return errors.Join(err, made.Close())
}
