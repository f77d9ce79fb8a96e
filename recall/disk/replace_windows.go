package disk

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// put writes a file beside its place and moves it there, which replaces what is there
// in one go as far as the file system can.
func put(file string, _ fs.FileInfo, content []byte, still func() error) error {
	made, err := os.CreateTemp(filepath.Dir(file), ".replace-*")
	if err != nil {
		return err
	}
	_, err = made.Write(content)
	err = errors.Join(err, made.Sync(), made.Close())
	if err == nil {
		err = still()
	}
	if err == nil {
		err = os.Rename(made.Name(), file)
	}
	if err != nil {
		return errors.Join(err, os.Remove(made.Name()))
	}
	return nil
}
