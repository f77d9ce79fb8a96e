package order_test

import (
	"fmt"
	"hash/fnv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The steps of drawn rooms are those recorded, to the letter: what puts them in
// order may be rewritten, and only what is meant to change may change them. A line
// of the record has the seed, the number of steps and a sum over their text.
// BAYHAND_RECORD names a folder that takes the text itself, to compare.
func TestStepsAreThoseRecorded(t *testing.T) {
	var b strings.Builder
	folder := os.Getenv("BAYHAND_RECORD")
	for seed := range count(t, 60) {
		for _, w := range []way{back(t, seed), kept(t, seed)} {
			w.arrange(t, seed)
			text := printed(w.plan)
			sum := fnv.New64a()
			sum.Write([]byte(text))
			kind := "back"
			if w.session != nil {
				kind = "kept"
			}
			fmt.Fprintf(&b, "%d %s %d %016x\n", seed, kind, len(w.plan.Steps), sum.Sum64())
			if folder != "" {
				if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%d.%s", seed, kind)), []byte(text), 0o600); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	const golden = "testdata/record.txt"
	if *update {
		if err := os.WriteFile(golden, []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if os.Getenv("BAYHAND_ROOMS") != "" {
		return // the record has the usual rooms
	}
	recorded := strings.SplitAfter(string(file(t, golden)), "\n")
	if diff := cmp.Diff(strings.Join(recorded[:strings.Count(b.String(), "\n")], ""), b.String()); diff != "" {
		t.Errorf("the steps are others than before (-before +now):\n%s", diff)
	}
}
