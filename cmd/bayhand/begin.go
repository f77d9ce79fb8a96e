package main

import (
	"context"
	_ "embed"
	"fmt"
	"path/filepath"
	"slices"

	"bayhand/cmd/bayhand/demo"
	"bayhand/model/check"
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
		return fmt.Errorf("the demo is written as studio.yaml with its folder sessions, and you asked for %s with %s; bayhand demo --write DIR writes it elsewhere", at.Studio, at.Folder())
	}
	return demo.Write(folder)
}

// findings are what is wrong with the studio's file and the sessions as they are
// now, but for what takes a plan to see; whole is false where one of them could not be
// read.
func findings(ctx context.Context, library *files.Library) (shown []page.Finding, whole bool) {
	at := library.Place()
	c, err := library.Check(ctx, nil, files.Shallow)
	if err != nil {
		if at.Missing() {
			return nil, true
		}
		return []page.Finding{{Severity: text.Error, File: at.Studio, Message: err.Error()}}, false
	}
	for _, f := range c.Findings[:min(len(c.Findings), mostFindings)] {
		one := page.Finding{Severity: f.Severity, File: f.File, Line: f.Line, Column: f.Column, Message: f.Message, Hint: f.Hint}
		one.Source, one.At = text.Around(c.Sources[f.File], f.Place)
		shown = append(shown, one)
	}
	if more := len(c.Findings) - len(shown); more > 0 {
		shown = append(shown, page.Finding{Severity: severest(c.Findings), File: at.Studio, Message: fmt.Sprintf("and %d more findings", more), Hint: "bayhand check has all of them"})
	}
	return shown, !slices.ContainsFunc(c.Findings, files.Unreadable)
}

// mostFindings are those that the page shows one by one.
const mostFindings = 100

// severest is error where one of the findings is an error, and else warning.
func severest(all []check.Finding) string {
	if text.Problems(all).Errors() {
		return text.Error
	}
	return text.Warning
}
