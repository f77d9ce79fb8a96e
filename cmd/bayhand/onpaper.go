package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// printing is what every command that makes paper is asked: where to, on which size
// of paper, and with which font beside the built-in one.
type printing struct {
	file, size, font string
}

func (w *printing) flags(c *cobra.Command, what string) {
	c.Flags().StringVar(&w.file, "paper", "", words.Put("write {what} to `FILE.pdf`", "what", what))
	c.Flags().StringVar(&w.size, "size", "a4", "of the paper: a4, a3, letter or WxH in millimetres")
	c.Flags().StringVar(&w.font, "font", "", "the `FILE.ttf` of a font for letters that the built-in one lacks")
	must(c.MarkFlagFilename("paper", "pdf"))
	must(c.MarkFlagFilename("font", "ttf"))
	must(c.RegisterFlagCompletionFunc("size", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return []string{"a4", "a3", "letter"}, cobra.ShellCompDirectiveNoFileComp
	}))
}

// press is a printing whose flags were found good.
type press struct {
	file  string
	size  paper.Size
	fonts [][]byte
}

// ready looks at everything that can be wrong before anything is computed.
func (w printing) ready() (p press, err error) {
	p.file = w.file
	if p.size, err = paper.ParseSize(w.size); err != nil {
		return p, wrongUsage("--size: %w", err)
	}
	if w.font != "" {
		font, err := named("the font", w.font, "give a file that ends in .ttf or .otf")
		if err != nil {
			return p, err
		}
		p.fonts = append(p.fonts, font)
		if _, err := paper.StripRuler(p.fonts...); err != nil {
			return p, wrongUsage("the font %s: %w", w.font, err)
		}
	}
	if w.file == "" {
		return p, nil
	}
	return p, writable(w.file, pdfBegins)
}

// writable refuses a file that cannot be written, before the work, or that is there and does
// not begin as what would be written. What is there stays as it is.
func writable(file, begins string) error {
	if at, err := os.Stat(file); err == nil && !at.Mode().IsRegular() {
		return wrongUsage("%s is no file that can be written; give another", file)
	}
	if err := spares(file, begins); err != nil {
		return err
	}
	probe, err := os.CreateTemp(filepath.Dir(file), ".bayhand-*")
	if err != nil {
		return wrongUsage("%w", &files.Unwritten{File: file, Err: err})
	}
	_ = probe.Close()
	return os.Remove(probe.Name())
}

// print makes a page and writes it, all of it or nothing.
func (o *output) print(file string, make func(*bytes.Buffer) ([]paper.Warning, error)) error {
	var page bytes.Buffer
	made := newProgress(o.err).announce(words.Put("making {file}", "file", filepath.Base(file)), patience)
	warnings, err := make(&page)
	made()
	if err != nil {
		return err
	}
	for _, w := range warnings {
		o.complainf("%s\n", w)
	}
	return write(file, page.Bytes())
}

// write puts a file that is made in its place in one go; over nothing but its like.
func write(file string, content []byte) error {
	if err := spares(file, beginningOf(content)); err != nil {
		return err
	}
	return notWritten(file, disk.Replace(file, content, nil))
}

// notWritten says in plain words of what the system says against writing a file; any other
// error stays as it is.
func notWritten(file string, err error) error {
	var path *fs.PathError
	var link *os.LinkError
	if errors.As(err, &path) || errors.As(err, &link) {
		return &files.Unwritten{File: file, Err: err}
	}
	return err
}

// epochVariable is the moment that what is made carries in place of now, in seconds
// since 1970, so that it can be made again byte for byte
// (reproducible-builds.org/specs/source-date-epoch).
const epochVariable = "SOURCE_DATE_EPOCH"

// today is the day that papers carry.
func today() time.Time {
	now := time.Now()
	if seconds, err := strconv.ParseInt(os.Getenv(epochVariable), 10, 64); err == nil {
		now = time.Unix(seconds, 0).UTC()
	}
	year, month, day := now.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// origin names a file with the beginning of its checksum, so that two papers can be
// held against each other.
func origin(file string, src []byte) string {
	sum := sha256.Sum256(src)
	return filepath.Base(file) + " " + hex.EncodeToString(sum[:4])
}
