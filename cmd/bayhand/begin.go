package main

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bayhand/cmd/bayhand/demo"
	"bayhand/model/check"
	"bayhand/recall/page"
)

// emptyStudio is what a studio of one's own begins with.
//
//go:embed empty.yaml
var emptyStudio []byte

// beginning says whether there is no studio's file yet. One that is there and
// cannot be read is something else.
func (a *app) beginning() bool {
	_, err := os.Lstat(a.studioFile)
	return errors.Is(err, fs.ErrNotExist)
}

// lay writes the files that a studio begins with, where the command line says, and
// overwrites none.
func (a *app) lay(kind string) error {
	if kind == page.BeginEmpty {
		return create(a.studioFile, emptyStudio)
	}
	folder := filepath.Dir(a.studioFile)
	if filepath.Base(a.studioFile) != "studio.yaml" || a.sessions() != filepath.Join(folder, "sessions") {
		return fmt.Errorf("the demo is written as studio.yaml with its folder sessions, and %s with %s is asked for; bayhand demo --write DIR writes it elsewhere", a.studioFile, a.sessions())
	}
	return demo.Write(folder)
}

// findings are what is wrong with the studio's file and the sessions as they are
// now, but for what takes a plan to see.
func (a *app) findings() []page.Finding {
	p, err := a.openStudio()
	if err != nil {
		if a.beginning() {
			return nil
		}
		return []page.Finding{{Severity: "error", File: a.studioFile, Message: err.Error()}}
	}
	all := []check.Finding(p.problems)
	if p.room != nil {
		all = append(all, check.Studio(p.room, p.places)...)
		all = append(all, a.checkDevices(p)...)
		all = append(all, a.sessionFindings(p)...)
	}
	var shown []page.Finding
	for _, f := range sorted(all) {
		shown = append(shown, page.Finding{
			Severity: f.Severity, File: f.File, Line: f.Line, Column: f.Column,
			Message: f.Message, Hint: f.Hint, Source: lineOf(p.sources[f.File], f.Line),
		})
	}
	return shown
}

func (a *app) sessionFindings(p *papers) []check.Finding {
	var all []check.Finding
	var filed []check.Filed
	for _, name := range a.sessionNames() {
		s, places, problems, err := a.readSession(p, name)
		if err != nil {
			continue // it went away just now
		}
		all = append(all, problems...)
		if s == nil || problems.Errors() {
			continue
		}
		filed = append(filed, check.Filed{Session: s, Places: places})
		all = append(all, check.Session(p.room, s, places)...)
	}
	return append(all, check.Sessions(filed)...)
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
