package descriptions_test

import (
	"testing"

	"bayhand/drivers/descriptions"
	"bayhand/drivers/message"
	"bayhand/model/text"
)

// TestShipped walks every description that ships: it is read without a
// complaint, and its transcripts, which come from the standards named in them,
// are reproduced byte for byte.
func TestShipped(t *testing.T) {
	names := descriptions.Names()
	if len(names) < 4 {
		t.Fatalf("only %v ship", names)
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			file, src, err := descriptions.Named(name)
			if err != nil {
				t.Fatal(err)
			}
			d, _, problems := text.ReadDevice(file, src)
			for _, p := range problems {
				t.Errorf("%v: %s", p.Place, p.Message)
			}
			if d.Name != name {
				t.Errorf("the file %s describes %s", file, d.Name)
			}
			if d.Label == "" || d.Standard == "" || len(d.Prepare) == 0 {
				t.Error("a label, the standard or what to prepare is missing")
			}
			if len(d.Transcripts) == 0 {
				t.Error("it has no transcript")
			}
			for _, transcript := range d.Transcripts {
				if transcript.Source == "" || len(transcript.Turns) == 0 {
					t.Errorf("transcript %q has no source or no turns", transcript.Title)
				}
			}
			if err := message.Rehearse(d); err != nil {
				t.Error(err)
			}
		})
	}
}
