package main

import (
	"context"
	_ "embed"
	"fmt"
	"path/filepath"
	"strings"

	"bayhand/cmd/bayhand/demo"
	"bayhand/model/text"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/page"
)

// emptyStudio is what a studio of one's own begins with.
//
//go:embed empty.yaml
var emptyStudio []byte

// lay writes the files that a studio begins with, where the command line says, and
// overwrites none.
func lay(at files.Place, kind string) error {
	if kind == page.BeginEmpty {
		return disk.Create(at.Studio, emptyStudio)
	}
	folder := filepath.Dir(at.Studio)
	if filepath.Base(at.Studio) != "studio.yaml" || at.Folder() != filepath.Join(folder, "sessions") {
		return fmt.Errorf("the demo is written as studio.yaml with its folder sessions, and %s with %s is asked for; bayhand demo --write DIR writes it elsewhere", at.Studio, at.Folder())
	}
	return demo.Write(folder)
}

// findings are what is wrong with the studio's file and the sessions as they are
// now, but for what takes a plan to see.
func findings(ctx context.Context, library *files.Library) []page.Finding {
	at := library.Place()
	c, err := library.Check(ctx, nil, files.Shallow)
	if err != nil {
		if at.Missing() {
			return nil
		}
		return []page.Finding{{Severity: text.Error, File: at.Studio, Message: err.Error()}}
	}
	var shown []page.Finding
	for _, f := range c.Findings {
		shown = append(shown, page.Finding{
			Severity: f.Severity, File: f.File, Line: f.Line, Column: f.Column,
			Message: f.Message, Hint: f.Hint, Source: lineOf(c.Sources[f.File], f.Line),
		})
	}
	return shown
}

// lineOf is a line of a file, counted from 1; empty where it has none.
func lineOf(src []byte, number int) string {
	n := 0
	for line := range strings.Lines(string(src)) {
		if n++; n == number {
			return strings.TrimRight(line, "\r\n")
		}
	}
	return ""
}
