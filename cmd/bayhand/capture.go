package main

import (
	"context"
	"errors"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/capture"
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
	held := a.room.held(ctx, p)
	text, note := p.Captured(found, session, held), ""
	if assumed := a.room.assumed(ctx, p); from == "" && len(assumed) > 0 {
		note = words.Put("Assumed, not read back: {outputs}.", "outputs", strings.Join(name.Fold(assumed), ", "))
		text = append([]byte("# "+note+"\n"), text...)
	}
	left := p.LeftOut(found, held)
	said := slices.DeleteFunc([]string{words.In(p.Studio).Said(note), apartOutputs(p, found), joinedOutputs(p, left.Joins), loopsOpened(p, left.Loops)}, func(s string) bool { return s == "" })
	if err := disk.Create(file, text); errors.Is(err, fs.ErrExist) {
		return wrongUsage("%w", err)
	} else if err != nil {
		return notWritten(file, err)
	}
	return a.out.say(map[string]string{"file": file}, "%s", strings.TrimSpace(words.Put("Saved {file}. Check it before use. {note}", "file", file, "note", strings.Join(said, " "))))
}

// apartOutputs says which crosspoints a session lacks since others that are switched together
// with them were not closed; empty for none.
func apartOutputs(p *files.Studio, found patch.Patch) string {
	apart := p.Room.Parted(found)
	if len(apart) == 0 {
		return ""
	}
	return words.Put("Outputs that are switched together were apart. What they were routed to is left out: {items}.", "items", words.In(p.Studio).Said(capture.Items(patch.Patch{Crosspoints: apart})))
}

// joinedOutputs says which outputs a patch joins, and what the session lacks for it. Where none
// are joined it is empty.
func joinedOutputs(p *files.Studio, joins []capture.Join) string {
	var said []string
	for _, j := range joins {
		sentence := "Outputs are joined: {outputs}. What joins them is left out: {items}."
		switch {
		case capture.Items(j.By) == "":
			sentence = "Outputs are joined, and what is heard there is left out: {outputs}."
		case !j.Sure:
			sentence = "Outputs are joined: {outputs}. What is heard there is left out, with all that may join them: {items}."
		}
		w := words.In(p.Studio)
		said = append(said, words.Put(sentence, "outputs", w.Points(j.Outputs), "items", w.Said(capture.Items(j.By))))
	}
	return strings.Join(said, " ")
}

// loopsOpened says which loops a session lacks, with what closes them; empty for none.
func loopsOpened(p *files.Studio, loops []capture.Loop) string {
	w := words.In(p.Studio)
	var said []string
	for _, l := range loops {
		said = append(said, words.Put("A signal can go round through {points}. What closes the loop is left out: {items}.", "points", w.Points(l.Through), "items", w.Said(capture.Items(l.By))))
	}
	return strings.Join(said, " ")
}

// assumed are the outputs of matrices of which nobody knows what was routed to them.
func (d *door) assumed(ctx context.Context, p *files.Studio) []name.Point {
	var known keep.Known
	if err := d.look(ctx, func(s keep.Status) { known = s.Known }, func(m keep.Memory) { known = m.KnownCords(p.Studio) }); err != nil {
		return nil
	}
	var outputs []name.Point
	for _, c := range known.Crosspoints {
		if c.How == keep.Assumed {
			outputs = append(outputs, c.Output)
		}
	}
	return outputs
}

// held is the session that the room is in, as far as it can be read; nil
// for none.
func (d *door) held(ctx context.Context, p *files.Studio) *session.Session {
	var name string
	err := d.look(ctx, func(s keep.Status) { name = s.Session }, func(m keep.Memory) { name = m.Intent.Session })
	if err != nil {
		return nil
	}
	return d.files.library().Held(p, name)
}
