package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// entry is one file of an archive.
type entry struct {
	name string
	mode fs.FileMode
	data []byte
}

// archive writes the program with what belongs to it: a zip for Windows, else a
// tar, each with one folder in it.
func archive(from *source, s system, program, beside, notices, to string) error {
	entries, err := contents(s, program, beside, notices)
	if err != nil {
		return err
	}
	write, suffix := writeTar, ".tar.gz"
	if s.os == "windows" {
		write, suffix = writeZip, ".zip"
	}
	file, err := os.Create(to + suffix)
	if err != nil {
		return err
	}
	return errors.Join(write(file, filepath.Base(to), entries, from.when), file.Close())
}

func contents(s system, program, beside, notices string) ([]entry, error) {
	binary, err := os.ReadFile(program)
	if err != nil {
		return nil, err
	}
	readme, err := os.ReadFile("README.md")
	if err != nil {
		return nil, err
	}
	entries := []entry{
		{s.program(), 0o755, binary},
		{"README.md", 0o644, readme},
		{"NOTICES.txt", 0o644, []byte(notices)},
	}
	if s.os == "windows" {
		return entries, nil
	}
	share := filepath.Join(beside, "usr", "share")
	err = filepath.WalkDir(share, func(at string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(at)
		rest, _ := filepath.Rel(share, at)
		entries = append(entries, entry{"share/" + filepath.ToSlash(rest), 0o644, data})
		return err
	})
	return entries, err
}

func writeTar(w io.Writer, folder string, entries []entry, when time.Time) error {
	zipped := gzip.NewWriter(w)
	t := tar.NewWriter(zipped)
	for _, e := range entries {
		head := &tar.Header{Name: path.Join(folder, e.name), Mode: int64(e.mode), Size: int64(len(e.data)), ModTime: when, Format: tar.FormatUSTAR}
		if err := t.WriteHeader(head); err != nil {
			return err
		}
		if _, err := t.Write(e.data); err != nil {
			return err
		}
	}
	return errors.Join(t.Close(), zipped.Close())
}

func writeZip(w io.Writer, folder string, entries []entry, when time.Time) error {
	z := zip.NewWriter(w)
	for _, e := range entries {
		head := &zip.FileHeader{Name: path.Join(folder, e.name), Method: zip.Deflate, Modified: when}
		head.SetMode(e.mode)
		to, err := z.CreateHeader(head)
		if err != nil {
			return err
		}
		if _, err := to.Write(e.data); err != nil {
			return err
		}
	}
	return z.Close()
}

// sums writes SHA256SUMS as sha256sum --check reads it.
func sums(folder string) error {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	var lines []string
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return err
		}
		lines = append(lines, fmt.Sprintf("%x  %s\n", sha256.Sum256(data), e.Name()))
	}
	slices.SortFunc(lines, func(a, b string) int { return strings.Compare(a[66:], b[66:]) })
	return os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(strings.Join(lines, "")), 0o644)
}
