// Package files reads the files of a studio: its own, those of its sessions, and
// the descriptions of its devices; and it writes what is kept in them.
//
// Vocabulary: a place is where the files of one studio are; a library has read
// them, and reads again only what changed; findings are everything that is to be
// said about them.
//
// The package prints nothing and asks no device. What it hands out is shared by
// all who ask: it is read, never changed.
package files

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"bayhand/drivers/descriptions"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/text"
	"bayhand/recall/disk"
	"bayhand/recall/keep"
)

// Ending is how the names of a studio's files end.
const Ending = ".yaml"

// Place is where the files of one studio are.
type Place struct {
	// Studio is the studio's file.
	Studio string
	// Sessions is the folder of its sessions; empty for the folder sessions beside
	// the studio's file.
	Sessions string
}

// Folder is the folder of the sessions.
func (p Place) Folder() string {
	if p.Sessions != "" {
		return p.Sessions
	}
	return filepath.Join(filepath.Dir(p.Studio), "sessions")
}

// Folders are those whose files the room depends on.
func (p Place) Folders() []string { return []string{filepath.Dir(p.Studio), p.Folder()} }

// Matters says whether the room depends on a file: the studio's, and every other
// that people write for it.
func (p Place) Matters(file string) bool {
	if filepath.Base(file) == filepath.Base(p.Studio) {
		one, errOne := filepath.Abs(file)
		studio, err := filepath.Abs(p.Studio)
		if errOne == nil && err == nil && one == studio {
			return true
		}
	}
	kind := strings.ToLower(filepath.Ext(file))
	return kind == Ending || kind == ".yml"
}

// Missing says whether there is no studio's file yet. One that is there and cannot
// be read is something else.
func (p Place) Missing() bool {
	_, err := disk.Stat(p.Studio)
	return errors.Is(err, fs.ErrNotExist)
}

// Names are the sessions in the folder, sorted; none where it is not there or cannot
// be read.
func (p Place) Names() []string {
	entries, _ := p.entries()
	return sessionsAmong(entries)
}

// sessionsAmong are the sessions among the files of their folder, sorted.
func sessionsAmong(entries []string) []string {
	var names []string
	for _, entry := range entries {
		if n, ok := strings.CutSuffix(entry, Ending); ok && n != keep.RestName && !hidden(n) {
			names = append(names, n)
		}
	}
	slices.Sort(names)
	return names
}

// entries are the names of what is in the folder of the sessions, but for folders;
// none where it is not there.
func (p Place) entries() ([]string, error) {
	entries, err := disk.Names(p.Folder())
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names, err
}

func hidden(file string) bool { return strings.HasPrefix(file, ".") }

// Session is the file of a session that is called by its name, or by a path that
// ends in .yaml.
func (p Place) Session(called string) string {
	if strings.HasSuffix(called, Ending) {
		return called
	}
	return filepath.Join(p.Folder(), called+Ending)
}

// Called is what a session is called, of whose name a person typed, or the path of its
// file: a file in the folder of the sessions by its name, any other by its whole path,
// which leads there from wherever it is asked for.
func (p Place) Called(typed string) string {
	stem, is := strings.CutSuffix(filepath.Base(typed), Ending)
	file, err := filepath.Abs(typed)
	folder, none := filepath.Abs(p.Folder())
	switch {
	case !is || errors.Join(err, none) != nil:
		return typed
	case filepath.Dir(file) == folder:
		return stem
	}
	return file
}

// Description reads a device description by its name, or by its path beside the
// studio's file. What is wrong in it is a text.Problems.
func (p Place) Description(called string) (*device.Description, error) {
	file, src, err := descriptions.NamedBy(disk.Text, called, filepath.Dir(p.Studio))
	if err != nil {
		return nil, err
	}
	d, _, problems := text.ReadDevice(file, src)
	if problems.Errors() {
		return nil, problems
	}
	return d, nil
}

// CheckSession says whether a new session can be called so: as gear is, and not as the
// room between sessions.
func CheckSession(called string) error {
	if called == keep.RestName {
		return fmt.Errorf("%s is the room between sessions, which stands in the studio's file; choose another name", called)
	}
	return name.CheckOwner(called)
}
