package main

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"bayhand/recall/files"
)

// What is drawn is written where the file is as it was read, and nowhere else.
func TestSaveDraft(t *testing.T) {
	place := laidDecks(t)
	laid := 0
	p := &bayPage{library: files.NewLibrary(place), laid: func() { laid++ }}
	was, err := p.loadDraft()
	if err != nil || string(was) != twoDecks {
		t.Fatalf("read is %q, %v", was, err)
	}
	now := append([]byte("# mine\r\n"), was...)
	if err := p.saveDraft([]byte("another"), now); !errors.Is(err, errChanged) {
		t.Errorf("over another text: %v", err)
	}
	if is, _ := os.ReadFile(place.Studio); string(is) != twoDecks || laid != 0 {
		t.Errorf("refused, the file has %q, and was read %d times anew", is, laid)
	}
	if err := p.saveDraft(was, now); err != nil {
		t.Fatal(err)
	}
	if is, _ := os.ReadFile(place.Studio); string(is) != string(now) || laid != 1 {
		t.Errorf("written, the file has %q, and was read %d times anew", is, laid)
	}
}

// Where there is no file yet one begins with the empty studio; a file that came in the
// meantime is not overwritten.
func TestSaveFirstDraft(t *testing.T) {
	place := files.Place{Studio: filepath.Join(t.TempDir(), "studio.yaml")}
	p := &bayPage{library: files.NewLibrary(place)}
	was, err := p.loadDraft()
	if err != nil || string(was) != string(emptyStudio) {
		t.Fatalf("one begins with %q, %v", was, err)
	}
	if err := p.saveDraft(was, []byte("studio: First\n")); err != nil {
		t.Fatal(err)
	}
	if err := p.saveDraft(was, []byte("studio: Second\n")); !errors.Is(err, errChanged) {
		t.Errorf("over the first: %v", err)
	}
	if is, _ := os.ReadFile(place.Studio); string(is) != "studio: First\n" {
		t.Errorf("the file has %q", is)
	}
}
