package contacts_test

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// withinRooms is in how many rooms each planted fault must be found.
const withinRooms = 1000

// A check that cannot fail proves nothing. Each fault is planted in a copy of
// the model, which the property is then built with; it must find it. Most run
// only with BAYHAND_FAULTS=all.
func TestPlantedFaultsAreFound(t *testing.T) {
	every := os.Getenv("BAYHAND_FAULTS") == "all"
	if got := os.Getenv("BAYHAND_FAULTS"); got != "" && !every {
		t.Fatalf("BAYHAND_FAULTS is %q; the only word is all", got)
	}
	for _, f := range planted {
		t.Run(f.title, func(t *testing.T) {
			t.Parallel()
			mutant := f.plant(t)
			if every || slices.Contains(always, f.title) {
				t.Log(f.found(t, mutant))
			}
		})
	}
}

// plant writes the overlay of a model with the fault in it. It fails where the
// text that is to be replaced is not in the file exactly once.
func (f fault) plant(t *testing.T) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("..", "..", "model", f.file))
	if err != nil {
		t.Fatal(err)
	}
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(source), f.right); n != 1 {
		t.Fatalf("model/%s holds the text to be replaced %d times, not once; plant the fault anew:\n%s", f.file, n, f.right)
	}
	mutant := filepath.Join(t.TempDir(), filepath.Base(f.file))
	write(t, mutant, []byte(strings.Replace(string(source), f.right, f.mistake, 1)))
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {path: mutant}})
	if err != nil {
		t.Fatal(err)
	}
	write(t, mutant+".json", overlay)
	return mutant + ".json"
}

func write(t *testing.T, file string, content []byte) {
	t.Helper()
	if err := os.WriteFile(file, content, 0o600); err != nil {
		t.Fatal(err)
	}
}

// A difference is printed with the room, the thing that differs, and both sides.
var afterRooms = regexp.MustCompile(regexp.QuoteMeta(differs) + `(\d+ rooms)\n\s*(.*(?:\n.*in the metal.*)?)`)

// found runs the property on the faulty model, and says after how many rooms it
// failed, and what differed.
func (f fault) found(t *testing.T, overlay string) string {
	t.Helper()
	tool := exec.CommandContext(t.Context(), "go", "test", "-overlay", overlay, "-vet=off", "-count=1", "-run", "^TestModelAndMetalAgree$", ".")
	tool.Env = append(os.Environ(), fmt.Sprintf("BAYHAND_ROOMS=%d", withinRooms), "GOFLAGS=")
	answer, err := tool.CombinedOutput()
	found := afterRooms.FindSubmatch(answer)
	switch {
	case err == nil:
		t.Fatalf("%d rooms show no difference", withinRooms)
	case found == nil:
		t.Fatalf("the property did not run: %v\n%s", err, answer)
	}
	return fmt.Sprintf("found after %s: %s", found[1], found[2])
}
