package contacts_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"bayhand/simulators/planted"
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
	for _, f := range faults {
		t.Run(f.title, func(t *testing.T) {
			t.Parallel()
			mutant := f.overlay(t)
			if every || slices.Contains(always, f.title) {
				t.Log(f.found(t, mutant))
			}
		})
	}
}

// overlay writes the overlay of a model with the fault in it.
func (f fault) overlay(t *testing.T) string {
	t.Helper()
	return planted.Fault{Title: f.title, File: filepath.Join("..", "..", "model", f.file), Right: f.right, Mistake: f.mistake}.Overlay(t)
}

// A difference is printed with the room, the thing that differs, and both sides.
var afterRooms = regexp.MustCompile(regexp.QuoteMeta(differs) + `(\d+ rooms)\n\s*(.*(?:\n.*in the metal.*)?)`)

// found runs the property on the faulty model, and says after how many rooms it
// failed, and what differed.
func (f fault) found(t *testing.T, overlay string) string {
	t.Helper()
	got := planted.Run(t, overlay, "TestModelAndMetalAgree", planted.Usual, fmt.Sprintf("BAYHAND_ROOMS=%d", withinRooms))
	found := afterRooms.FindSubmatch(got.Answer)
	switch {
	case got.Hung:
		return fmt.Sprintf("found, as it comes to no end in %v", planted.Usual)
	case got.Err == nil:
		t.Fatalf("%d rooms show no difference", withinRooms)
	case found == nil:
		t.Fatalf("the property did not run: %v\n%s", got.Err, got.Answer)
	}
	return fmt.Sprintf("found after %s: %s", found[1], found[2])
}
