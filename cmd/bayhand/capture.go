package main

import (
	"context"
	"errors"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

func captureCommand(a *app) *cobra.Command {
	var from string
	c := &cobra.Command{
		Use:        "capture NAME",
		SuggestFor: []string{"save", "store", "snapshot", "export"},
		Short:      "Save the present patch as a session (a snapshot)",
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
	text, note := p.Captured(found, session, a.room.held(ctx, p)), ""
	if assumed := a.room.assumed(ctx); from == "" && len(assumed) > 0 {
		note = words.Put("Assumed, not read back: {outputs}.", "outputs", strings.Join(assumed, ", "))
		text = append([]byte("# "+note+"\n"), text...)
	}
	note = strings.TrimSpace(note + " " + joinedIn(p, found))
	if err := disk.Create(file, text); errors.Is(err, fs.ErrExist) {
		return wrongUsage("%w", err)
	} else if err != nil {
		return notWritten(file, err)
	}
	return a.out.say(map[string]string{"file": file}, "%s", strings.TrimSpace(words.Put("Saved {file}. Check it before use. {note}", "file", file, "note", note)))
}

// joinedIn says which outputs a patch joins: a session asks for nothing that is heard there.
// Where none are it is empty.
func joinedIn(p *files.Studio, in patch.Patch) string {
	var joined []string
	for _, c := range p.Room.For(nil, in).Hear(in).Contentions() {
		joined = append(joined, words.In(p.Studio).Points(c.Drivers))
	}
	if len(joined) == 0 {
		return ""
	}
	return words.Put("Outputs are joined, and what is heard there is left out: {outputs}.", "outputs", strings.Join(joined, "; "))
}

// assumed are the outputs of matrices of which nobody knows what was routed to them.
func (d *door) assumed(ctx context.Context) []string {
	var known keep.Known
	if err := d.look(ctx, func(s keep.Status) { known = s.Known }, func(m keep.Memory) { known = m.Known }); err != nil {
		return nil
	}
	var outputs []name.Point
	for _, c := range known.Crosspoints {
		if c.How == keep.Assumed {
			outputs = append(outputs, c.Output)
		}
	}
	return name.Fold(outputs)
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
