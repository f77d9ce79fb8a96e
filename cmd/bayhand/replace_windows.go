package main

import (
	"errors"
	"os"
	"path/filepath"
)

// replaceFile writes a file beside its place and moves it there, which replaces
// what is there in one go as far as the file system can.
func replaceFile(file string, content []byte) error {
	made, err := os.CreateTemp(filepath.Dir(file), ".replace-*")
	if err != nil {
		return err
	}
	_, err = made.Write(content)
	if err = errors.Join(err, made.Sync(), made.Close()); err == nil {
		err = os.Rename(made.Name(), file)
	}
	if err != nil {
		return errors.Join(err, os.Remove(made.Name()))
	}
	return nil
}
