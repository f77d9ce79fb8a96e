package message_test

import (
	"os"
	"path/filepath"
	"testing"

	"bayhand/drivers/message"
	reader "bayhand/model/text"
)

// The good descriptions of the corpus of the reader are good for whoever writes and
// reads their messages too: their transcripts are what comes out and what is read.
func TestGoodDescriptions(t *testing.T) {
	found, err := filepath.Glob("../../model/text/testdata/ok/devices/*.yaml")
	if err != nil || len(found) < 2 {
		t.Fatalf("%v, %v", found, err)
	}
	for _, file := range found {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		d, _, problems := reader.ReadDevice(file, src)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		if err := message.Rehearse(d); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
}
