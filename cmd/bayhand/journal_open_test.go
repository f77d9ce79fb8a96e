package main

import (
	"os"
	"path/filepath"
	"testing"
)

// A journal that the system does not let be opened is named by the file that it would be, with the
// system's reason and what to do: no file that is made on the way.
func TestJournalThatCannotBeOpened(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "state")
	if err := os.WriteFile(folder, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := openJournal(folder)
	if err == nil {
		t.Fatal("a journal was opened in a file")
	}
	want := "the room's journal, " + journalIn(folder) + ", cannot be opened: not a directory; give another folder with --state DIR"
	if got := err.Error(); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
}
