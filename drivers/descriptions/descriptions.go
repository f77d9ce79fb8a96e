// Package descriptions holds the device descriptions that ship, and finds those
// that a user wrote.
//
// A description is one YAML file that describes one kind of matrix. The ones
// here are for open standards and for the plain dialects of this project's own
// simulators; a user's file is the same format, and needs no rebuild.
//
// The package hands out text. What a description means is read by model/text;
// what its bytes are is the business of drivers/message.
package descriptions

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"bayhand/model/phrase"
)

//go:embed devices/*.yaml
var shipped embed.FS

// Extension is how a description's file ends.
const Extension = ".yaml"

// ErrUnknown is a description that is neither shipped nor a file.
var ErrUnknown = errors.New("no such device description")

// Names are the descriptions that ship, sorted.
func Names() []string {
	entries, err := fs.ReadDir(shipped, "devices")
	if err != nil {
		panic("descriptions: the embedded folder cannot be read: " + err.Error())
	}
	var names []string
	for _, entry := range entries {
		names = append(names, strings.TrimSuffix(entry.Name(), Extension))
	}
	return names
}

// Named finds a description by its name among those that ship, then as a file:
// a path that ends in .yaml, or a path without that ending, relative to each of
// the folders in turn. Without folders, paths are relative to the working
// folder. The file returned is what a message about the description names.
func Named(name string, folders ...string) (file string, src []byte, err error) {
	return NamedBy(os.ReadFile, name, folders...)
}

// NamedBy is Named with another way to read files, such as one that ends in bounded
// time. Of a folder it says fs.ErrNotExist or syscall.EISDIR.
func NamedBy(read func(file string) ([]byte, error), name string, folders ...string) (file string, src []byte, err error) {
	if src, err := shipped.ReadFile(path.Join("devices", name+Extension)); err == nil && !strings.Contains(name, "/") {
		return name + Extension, src, nil
	}
	if name == "" {
		return "", nil, fmt.Errorf("%w: the name is empty; write one of %s, or the path of a file", ErrUnknown, strings.Join(Names(), ", "))
	}
	for _, candidate := range candidates(name, folders) {
		src, err := read(candidate)
		if err == nil {
			return candidate, src, nil
		}
		if !missing(err) {
			return "", nil, fmt.Errorf("the device description %s cannot be read: %w", name, err)
		}
	}
	return "", nil, unknown(name, folders)
}

// missing says whether nothing readable is meant to be there: no file, or a
// folder that happens to have the name.
func missing(err error) bool {
	return errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.EISDIR)
}

func candidates(name string, folders []string) []string {
	if len(folders) == 0 || filepath.IsAbs(name) {
		folders = []string{""}
	}
	var files []string
	for _, folder := range folders {
		file := filepath.Join(folder, filepath.FromSlash(name))
		if !strings.HasSuffix(name, Extension) {
			file += Extension
		}
		if !slices.Contains(files, file) {
			files = append(files, file)
		}
	}
	return files
}

func unknown(name string, folders []string) error {
	files := strings.Join(candidates(name, folders), " or ")
	if near := phrase.Nearest(name, Names()); near != "" {
		return fmt.Errorf("%w: %q does not ship, and there is no file %s; did you mean %s?", ErrUnknown, name, files, near)
	}
	return fmt.Errorf("%w: %q does not ship, and there is no file %s; those that ship are %s", ErrUnknown, name, files, strings.Join(Names(), ", "))
}
