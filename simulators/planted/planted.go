// Package planted runs a test on a copy of the program with a mistake in it, for tests that
// say whether a property finds what it should. It plants one mistake at a time and knows
// nothing of what the program does.
//
// Vocabulary: a fault is a text of a source file and what a mistaken hand would have written
// instead; its overlay has the tool of the language read that file in the place of the right
// one; a faulty program hangs where the test is not at its end after a time of the processor.
package planted

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Fault is one mistake: Right stands once in the file, whose path is from the package of the
// test on.
type Fault struct {
	Title, File, Right, Mistake string
}

// Overlay writes the overlay of a program with the fault in it, and gives its path. It fails
// the test where the text that is to be replaced is not in the file exactly once.
func (f Fault) Overlay(t testing.TB) string {
	t.Helper()
	path, err := filepath.Abs(f.File)
	if err != nil {
		t.Fatal(err)
	}
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(source), f.Right); n != 1 {
		t.Fatalf("%s holds the text to be replaced %d times, not once; plant the fault anew:\n%s", f.File, n, f.Right)
	}
	mutant := filepath.Join(t.TempDir(), filepath.Base(f.File))
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {path: mutant}})
	if err != nil {
		t.Fatal(err)
	}
	for file, content := range map[string][]byte{mutant: []byte(strings.Replace(string(source), f.Right, f.Mistake, 1)), mutant + ".json": overlay} {
		if err := os.WriteFile(file, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return mutant + ".json"
}

// Usual is the time of the processor that a faulty program has: many times what the property
// takes on the right one.
const Usual = 5 * time.Minute

// Outcome is how a test of the package ended on a faulty program.
type Outcome struct {
	// Answer is what it printed, Err nil where it passed.
	Answer []byte
	Err    error
	// Hung says that it was ended, since it came to no end.
	Hung bool
}

// Run runs one test of the package in the folder of the caller on an overlay, with settings of
// the environment, and ends it after a time of the processor, in seconds at least. Where the
// system cannot limit that, the tool's own limit of ten minutes ends it.
func Run(t testing.TB, overlay, test string, limit time.Duration, settings ...string) Outcome {
	t.Helper()
	args := []string{"go", "test", "-overlay", overlay, "-vet=off", "-count=1", "-run", "^" + test + "$", "."}
	if shell, err := exec.LookPath("sh"); err == nil {
		args = append([]string{shell, "-c", `ulimit -t "$0" && exec "$@"`, strconv.Itoa(int(limit.Seconds()))}, args...)
	}
	tool := exec.CommandContext(t.Context(), args[0], args[1:]...)
	tool.Env = append(append(os.Environ(), "GOFLAGS="), settings...)
	answer, err := tool.CombinedOutput()
	hung := err != nil && (bytes.Contains(answer, []byte("SIGXCPU")) || bytes.Contains(answer, []byte("signal: killed")) || bytes.Contains(answer, []byte("panic: test timed out")))
	return Outcome{answer, err, hung}
}
