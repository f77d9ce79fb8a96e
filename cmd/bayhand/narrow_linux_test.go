package main

import (
	"bytes"
	"context"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/creack/pty"
	"github.com/rivo/uniseg"

	"bayhand/recall/paper"
)

// In a narrow terminal no line is wider than it is, but for a word that is: what a terminal
// breaks by itself it breaks in the middle of names.
func TestNarrowTerminals(t *testing.T) {
	folder := t.TempDir()
	inTerminal(t, 80, "demo", "--write", folder)
	room := []string{"--studio", filepath.Join(folder, "studio.yaml"), "--state", t.TempDir()}
	for _, columns := range []int{20, 40, 60} {
		for _, command := range [][]string{
			{"check"}, {"plan", "tern-mix-1"}, {"cords"}, {"sheet", "tern-mix-1"}, {"trace", "interface/in1"},
			{"levels", "tern-mix-1"}, {"state"}, {"wiring"}, {"labels"}, {"arrange", "--effort", "1", "evening-listening"}, {"history"}, {"plan", "nosuch"}, {"nosuch"}, {"trace", "desk/in1", "--plug", "main/t1"},
		} {
			for _, line := range inTerminal(t, uint16(columns), append(command, room...)...) {
				if uniseg.StringWidth(line) > max(columns, paper.Narrowest) && strings.Contains(strings.TrimSpace(line), " ") {
					t.Errorf("%v in %d columns: %q", command, columns, line)
				}
			}
		}
	}
}

// inTerminal is what a command prints in a terminal of so many columns, by lines.
func inTerminal(t *testing.T, columns uint16, args ...string) []string {
	t.Helper()
	screen, terminal, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer screen.Close()
	if err := pty.Setsize(terminal, &pty.Winsize{Rows: 40, Cols: columns}); err != nil {
		t.Fatal(err)
	}
	var shown bytes.Buffer
	read := make(chan struct{})
	go func() { _, _ = io.Copy(&shown, screen); close(read) }() // it ends by an error once the terminal is closed
	newApp(terminal, terminal, terminal).run(context.Background(), args)
	terminal.Close()
	<-read
	if shown.Len() == 0 {
		t.Fatalf("%v prints nothing", args)
	}
	return strings.FieldsFunc(shown.String(), func(c rune) bool { return c == '\r' || c == '\n' })
}
