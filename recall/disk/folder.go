package disk

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

func infos(folder string, wanted func(file string) bool) (map[string]fs.FileInfo, error) {
	entries, err := entriesOf(folder)
	if err != nil {
		return nil, err
	}
	all := make(map[string]fs.FileInfo, len(entries))
	for _, e := range entries {
		file := filepath.Join(folder, e.Name())
		if wanted != nil && !wanted(file) {
			continue
		}
		info, err := e.Info()
		if err == nil && info.Mode()&fs.ModeSymlink != 0 {
			info, err = Stat(file) // a link may lead to another file system
		}
		if err == nil {
			all[file] = info
		}
	}
	return all, nil
}

// entriesOf are the entries of a folder in no order: to sort thousands takes as long as
// to read them.
func entriesOf(folder string) ([]fs.DirEntry, error) {
	f, err := os.Open(folder)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.ReadDir(-1)
}

// anyName asks a folder for one of its names.
func anyName(folder string) error {
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	defer f.Close()
	if _, err := f.Readdirnames(1); !errors.Is(err, io.EOF) {
		return err
	}
	return nil
}
