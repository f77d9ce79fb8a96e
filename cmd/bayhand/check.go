package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/check"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/listen"
	"bayhand/recall/words"
)

func checkCommand(a *app) *cobra.Command {
	return &cobra.Command{
		Use:        "check [SESSION...]",
		SuggestFor: []string{"validate", "lint", "findings"},
		Short:      "Every finding in the studio and its sessions",
		Long: `Read the studio's file and the sessions (all of them, if none is named) and say
everything that is wrong with them: errors, warnings, advice.`,
		Example:           "  bayhand check\n  bayhand check tern-mix-1 --json",
		ValidArgsFunction: completeSessions(a),
		RunE:              func(c *cobra.Command, args []string) error { return runCheck(c.Context(), a, args) },
	}
}

func runCheck(ctx context.Context, a *app, sessions []string) error {
	if len(sessions) == 0 {
		sessions = nil // all of them
		if err := a.files.sessionsThere(); err != nil {
			return err
		}
	}
	if _, err := a.files.open(); err != nil {
		return err
	}
	c, err := a.files.library().Check(ctx, sessions, files.Deep)
	var unread *files.Unread
	if errors.As(err, &unread) {
		return wrongUsage("%w", err)
	}
	if err != nil {
		return err
	}
	if c.Whole {
		if err := checkHouse(a, &c); err != nil {
			return err
		}
	}
	return errors.Join(tellFindings(a.out, a.files.at.Studio, c), tellListening(a, c))
}

// tellListening says what test sound could show of the room between sessions, where its
// studio has a sound device.
func tellListening(a *app, c files.Checked) error {
	if a.out.json || !c.Whole {
		return nil
	}
	p, err := a.files.sound()
	if err != nil || !hasSound(p.Studio) {
		return err
	}
	none := &session.Session{Program: -1}
	l, err := listen.Prepare(listen.Request{Room: p.Room, Session: none, Patch: p.Studio.Rest, Muted: listen.Mutable(p.Studio, nil)})
	if err != nil || len(l.Driven) == 0 {
		return nil // a finding says why the room cannot be listened to
	}
	outputs, inputs := plural(len(l.Driven), "output"), plural(len(l.Inputs()), "input")
	text := words.Put("bayhand verify can play on {outputs} of {gear} and hear {inputs}", "outputs", outputs, "gear", l.Device.Name, "inputs", inputs)
	if n := len(l.LeftOut); n > 0 {
		text = words.Put("bayhand verify can play on {outputs} of {gear} and hear {inputs}; {left} could come to {place} and would not play",
			"outputs", outputs, "gear", l.Device.Name, "inputs", inputs, "left", plural(n, "output"), "place", listen.In(p.Studio).Point(l.LeftOut[0].Input))
	}
	a.out.lines("", "  ", text)
	return nil
}

// checkHouse reads the file of the house as well, where one stands beside the studio's.
func checkHouse(a *app, c *files.Checked) error {
	file := filepath.Join(filepath.Dir(a.files.at.Studio), houseFile)
	src, err := disk.Text(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return wrongUsage("%w", &files.Unread{What: "the house file", File: file, Err: err})
	}
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	_, _, problems := text.ReadHouse(file, src, p.Studio)
	c.Findings = append(slices.Clone(c.Findings), problems...)
	c.Sources = maps.Clone(c.Sources)
	c.Sources[file] = src
	return nil
}

// tellFindings gives the findings as the answer; those of severity error make the
// status.
func tellFindings(out *output, file string, c files.Checked) error {
	if out.json {
		if err := out.answer(append([]check.Finding{}, c.Findings...)); err != nil {
			return err
		}
	} else {
		for _, f := range c.Findings {
			fmt.Fprint(out.to, excerpted(f.Place, f.Severity, out.named(f.Message)+coded(f), out.named(f.Hint), c.Sources[f.File]))
		}
		out.printf("%s read: %s\n", readFiles(file, c), accepted(counted(c.Findings), c.Accepted))
	}
	if text.Problems(c.Findings).Errors() {
		return silent(cannot)
	}
	return nil
}

// readFiles names what was read. The sessions of a studio with errors are not.
func readFiles(file string, c files.Checked) string {
	if !c.Whole {
		return words.Put("{file} without its sessions", "file", file)
	}
	return words.Put("{file} and {sessions}", "file", file, "sessions", plural(c.Sessions, "session"))
}

// coded is the code of a finding, by which it can be accepted; an error cannot.
func coded(f check.Finding) string {
	if f.Severity == text.Error {
		return ""
	}
	return " (" + f.Code + ")"
}

// accepted adds how many findings more somebody has looked at.
func accepted(counts string, n int) string {
	if n == 0 {
		return counts
	}
	return words.Put("{findings} ({n} accepted)", "findings", counts, "n", strconv.Itoa(n))
}

// counted is how many findings there are of each severity.
func counted(findings []check.Finding) string {
	count := map[string]int{}
	for _, f := range findings {
		count[f.Severity]++
	}
	var phrases []string
	for _, kind := range []struct{ severity, one, several string }{
		{text.Error, "1 error", "{n} errors"}, {text.Warning, "1 warning", "{n} warnings"}, {text.Advice, "1 piece of advice", "{n} pieces of advice"},
	} {
		if n := count[kind.severity]; n > 0 {
			phrases = append(phrases, words.Count(n, kind.one, kind.several))
		}
	}
	if len(phrases) == 0 {
		return "no problems found"
	}
	return strings.Join(phrases, ", ")
}
