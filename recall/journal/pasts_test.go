package journal

import (
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/patch"
	"bayhand/recall/keep"
)

// What an undo goes back to is put into JSON once: whatever comes, goes or is another one
// in its place is read as it was written.
func TestPastsAreReadAsTheyAre(t *testing.T) {
	j, err := Open(filepath.Join(t.TempDir(), File))
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	one := full().Pasts[0]
	another := keep.Past{Rooms: []string{"mix"}, Session: "tern", Patch: patch.Patch{}}
	other := another
	other.Patch = one.Patch
	whole := keep.Past{Session: keep.RestName, Patch: one.Patch}
	for i, pasts := range [][]keep.Past{nil, {one}, {one, another}, {another, one}, {one, other}, {other}, {whole}, nil} {
		m := full()
		m.Pasts = pasts
		if err := j.Write(m, nil); err != nil {
			t.Fatal(err)
		}
		got, err := j.Load()
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(m, got); diff != "" {
			t.Errorf("write %d is read otherwise (-written +read):\n%s", i+1, diff)
		}
	}
}

// A past that was written already is not put into JSON again.
func TestPastsAreEncodedOnce(t *testing.T) {
	var p pasts
	m := full()
	if _, err := p.memory(m); err != nil {
		t.Fatal(err)
	}
	was := &p[0].text[0]
	if _, err := p.memory(m); err != nil || &p[0].text[0] != was {
		t.Errorf("the same past was encoded again: %v", err)
	}
}
