package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

const yamlEnding = ".yaml"

// papers are a studio's files as they were read, with what is wrong with them.
type papers struct {
	file     string // the studio's, as it was given
	studio   *studio.Studio
	room     *heard.Room
	places   text.Places
	problems text.Problems
	// sources are the texts of all files read so far, by the names that
	// problems use.
	sources map[string][]byte
	folder  string // of the sessions
}

// openStudio reads the studio's file. What is wrong in it is in problems; the
// error is for a file that is not there.
func (a *app) openStudio() (*papers, error) {
	src, err := os.ReadFile(a.studioFile)
	if err != nil {
		return nil, wrongUsage("%s", noFile("the studio's file", a.studioFile, err, "give it with --studio FILE or in BAYHAND_STUDIO"))
	}
	p := &papers{file: a.studioFile, sources: map[string][]byte{a.studioFile: src}, folder: a.sessions()}
	p.studio, p.places, p.problems = text.ReadStudio(a.studioFile, src)
	if p.studio != nil && !p.problems.Errors() {
		p.room = heard.NewRoom(p.studio)
	}
	return p, nil
}

// soundStudio is openStudio for a command that needs a studio without errors;
// those that it has are reported.
func (a *app) soundStudio() (*papers, error) {
	p, err := a.openStudio()
	if err != nil {
		return nil, err
	}
	a.report(p.problems, p.sources)
	if p.room == nil {
		return nil, silent(cannot)
	}
	return p, nil
}

// drivenStudio is soundStudio for a command that drives the matrices: what does
// not fit their devices' descriptions is reported too, before a device is asked.
func (a *app) drivenStudio() (*papers, error) {
	p, err := a.soundStudio()
	if err != nil {
		return nil, err
	}
	var wrong text.Problems
	for _, f := range a.checkDevices(p) {
		if f.Severity == text.Error {
			wrong = append(wrong, f)
		}
	}
	a.report(wrong, p.sources)
	if len(wrong) > 0 {
		return nil, silent(cannot)
	}
	return p, nil
}

func noFile(what, file string, err error, hint string) string {
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Sprintf("%s, %s, is not there; %s", what, file, hint)
	}
	return fmt.Sprintf("%s, %s, cannot be read: %v; %s", what, file, bare(err), hint)
}

// bare is an error about a file without the file's name, which is said already.
func bare(err error) error {
	var about *fs.PathError
	if errors.As(err, &about) {
		return about.Err
	}
	return err
}

// sessions is the folder of the session files.
func (a *app) sessions() string {
	if a.sessionsDir != "" {
		return a.sessionsDir
	}
	return filepath.Join(filepath.Dir(a.studioFile), "sessions")
}

// sessionNames are the sessions in the folder, sorted; none if it is not there.
func (a *app) sessionNames() []string {
	entries, err := os.ReadDir(a.sessions())
	if err != nil {
		return nil
	}
	var names []string
	for _, e := range entries {
		if n, ok := strings.CutSuffix(e.Name(), yamlEnding); ok && !e.IsDir() && !strings.HasPrefix(n, ".") {
			names = append(names, n)
		}
	}
	slices.Sort(names)
	return names
}

// sessionFile is the file of a session that is called by its name, or by a path
// that ends in .yaml.
func (a *app) sessionFile(name string) string {
	if strings.HasSuffix(name, yamlEnding) {
		return name
	}
	return filepath.Join(a.sessions(), name+yamlEnding)
}

// readSession reads a session and what it is written on top of. Its problems
// are returned, not reported.
func (a *app) readSession(p *papers, name string) (*session.Session, text.Places, text.Problems, error) {
	file, src, err := a.openSession(p, name)
	if err != nil {
		return nil, text.Places{}, nil, err
	}
	s, places, problems := text.ReadSession(file, src, p.studio, func(like string) (string, []byte, error) {
		return a.openSession(p, like)
	})
	return s, places, problems, nil
}

func (a *app) openSession(p *papers, name string) (string, []byte, error) {
	file := a.sessionFile(name)
	src, err := os.ReadFile(file)
	if err != nil {
		return file, nil, wrongUsage("there is no session %q: %s", name,
			noFile("its file", file, err, "sessions are "+listed(a.sessionNames())+suggestion(name, a.sessionNames())))
	}
	p.sources[file] = src
	return file, src, nil
}

// listed is names in a sentence.
func listed(names []string) string {
	if len(names) == 0 {
		return "files that end in .yaml in the folder sessions beside the studio's file"
	}
	const most = 20
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}

// soundSession is readSession for a command that needs a session without
// errors; those that it has are reported.
func (a *app) soundSession(p *papers, name string) (*session.Session, text.Places, error) {
	s, places, problems, err := a.readSession(p, name)
	if err != nil {
		return nil, places, err
	}
	a.report(problems, p.sources)
	if problems.Errors() || s == nil {
		return nil, places, silent(cannot)
	}
	return s, places, nil
}

// soundPatch reads a file with a patch in it, such as what plan --json printed.
func (a *app) soundPatch(p *papers, file string) (patch.Patch, error) {
	src, err := os.ReadFile(file)
	if err != nil {
		return patch.Patch{}, wrongUsage("%s", noFile("the patch's file", file, err, "give a file with a patch: in it, or rest, or empty"))
	}
	p.sources[file] = src
	found, _, problems := text.ReadPatch(file, src, p.studio)
	a.report(problems, p.sources)
	if problems.Errors() {
		return patch.Patch{}, silent(cannot)
	}
	return found, nil
}
