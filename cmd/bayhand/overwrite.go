package main

import (
	"bytes"
	"io"
	"os"

	"bayhand/recall/words"
)

// What is made may be made again over what was made before. Any other file is somebody's work,
// such as the studio's file, and nobody is asked for it twice: it is left as it is.

// beginnings are what files that are made begin with; of a table it is the name of its first
// column, and of lines of JSON the brace.
var beginnings = []string{pdfBegins, svgBegins, "RIFF", "RF64", tableBegins, "{"}

const (
	pdfBegins   = "%PDF-"
	svgBegins   = "<svg"
	tableBegins = "list,"
)

// beginningOf is what a file of a kind begins with; empty for none that is made.
func beginningOf(content []byte) string {
	for _, begins := range beginnings {
		if bytes.HasPrefix(content, []byte(begins)) {
			return begins
		}
	}
	return ""
}

// spares refuses to write over a file that does not begin so, and is not empty.
func spares(file, begins string) error {
	if is, err := os.Stat(file); err != nil || !is.Mode().IsRegular() {
		return nil // nothing is there, or what writes it says why it cannot
	}
	f, err := os.Open(file)
	if err != nil {
		return nil
	}
	defer f.Close()
	start, err := io.ReadAll(io.LimitReader(f, 16))
	if err != nil || len(start) == 0 || begins != "" && bytes.HasPrefix(start, []byte(begins)) {
		return nil
	}
	return wrongUsage("%s", words.Put("{file} is there, and is no such file as would be written: it is left as it is; give another name, or take it away first", "file", file))
}
