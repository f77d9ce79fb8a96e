// Package demo is the Heron Boathouse, a studio that was made up to show
// everything at work: its files, its matrices as simulators in processes of
// their own on real links, the daemon, and somebody who does what a person
// would.
//
// Vocabulary: a child is a process that the demo started; a scene is one thing
// that is shown; an expectation is what must be true of the room for the demo to
// end well. The state of a matrix is asked twice, by way of the daemon, which
// reads the device over its link, and of the simulator itself by its front
// panel, and the two must agree.
//
// The package leaves no process and no file behind, however it ends.
package demo

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"bayhand/model/text"
)

//go:embed heron
var embedded embed.FS

// Files is the folder of the made-up studio: studio.yaml and sessions/.
func Files() fs.FS {
	heron, err := fs.Sub(embedded, "heron")
	if err != nil {
		panic("demo: the embedded folder is not there: " + err.Error())
	}
	return heron
}

// Write lays the files out in a folder, which is made if it is not there, with
// the schemas that their first lines name for editors. No file is overwritten:
// where one of them is there already, nothing is written.
func Write(folder string) error {
	files, err := contents()
	if err != nil {
		return err
	}
	names := slices.Sorted(maps.Keys(files))
	for _, name := range names {
		if _, err := os.Lstat(filepath.Join(folder, name)); !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s is there already, and nothing was written; choose a folder without it", filepath.Join(folder, name))
		}
	}
	for _, name := range names {
		if err := lay(folder, name, files[name]); err != nil {
			return err
		}
	}
	return nil
}

// contents are all files by their names, with slashes.
func contents() (map[string][]byte, error) {
	all := map[string][]byte{}
	for _, kind := range []string{"studio", "session"} {
		all["schemas/"+kind+".schema.json"] = text.Schema(kind)
	}
	files := Files()
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		all[name], err = fs.ReadFile(files, name)
		return err
	})
	return all, err
}

func lay(folder, name string, content []byte) error {
	to := filepath.Join(folder, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return err
	}
	// O_EXCL: a file that came since we looked stays as it is.
	file, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = file.Write(content)
	return errors.Join(err, file.Close())
}
