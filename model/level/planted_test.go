package level

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// fault is one mistake that could have been made in the networks: a text of a
// source file, and what a mistaken hand would have written.
type fault struct {
	title, file, right, mistake string
}

var planted = []fault{
	{"the impedance is not halved with the cold leg grounded", "assemble.go",
		"\tcase studio.ActiveStage:\n\t\tl.circuit.resist(hot, 0, source/2)\n\t\tl.circuit.resist(cold, 0, source/2)\n\t\tl.circuit.push(0, hot, volt/source)",
		"\tcase studio.ActiveStage:\n\t\tl.circuit.resist(hot, 0, source)\n\t\tl.circuit.resist(cold, 0, source/2)\n\t\tl.circuit.push(0, hot, volt/source/2)"},
	{"the capacitance to the shield is counted once", "assemble.go",
		"\t\tl.circuit.hold(end[1], 0, shield)\n", ""},
	{"the input of a tap is forgotten", "assemble.go",
		"for _, in := range n.inputs {\n\t\tl.addInput(in)", "for _, in := range n.inputs[:1] {\n\t\tl.addInput(in)"},
	{"cross-coupled is taken as active", "assemble.go",
		"\tswitch stage {\n", "\tif stage == studio.CrossCoupledStage {\n\t\tstage = studio.ActiveStage\n\t}\n\tswitch stage {\n"},
	{"a two-pole cord grounds one end alone", "room.go",
		"for _, end := range c.Ends() {", "for _, end := range c.Ends()[:1] {"},
	{"a cable that leaves the cold leg open carries it", "net.go",
		"case studio.ColdOpen:\n\t\treturn false", "case studio.ColdOpen:\n\t\treturn true"},
	{"relays are not metal", "room.go",
		"Kind == studio.Contacts {\n\t\t\tr.join(c.Output, c.Input, nil)", "Kind == studio.Contacts {"},
	{"an output that is silent is left out", "assemble.go",
		"for i, out := range n.outputs {\n\t\tvolt := 0.0", "for i, out := range n.outputs {\n\t\tif i != heard {\n\t\t\tcontinue\n\t\t}\n\t\tvolt := 0.0"},
	{"the resistance of one core is left out", "assemble.go",
		"} else if ohm > 0 {\n\t\tl.circuit.resist(near, far, ohm)", "} else if ohm > 0 {\n\t\tl.circuit.resist(near, far, least)"},
	{"the corner is that at -3 dB of 1 kHz", "response.go",
		"whole := magnitude(0)", "whole := magnitude(reference)"},
}

// A check that cannot fail proves nothing: each mistake is planted in a copy of
// the model, and the published values or the drawn nets must find it. All but
// the first run only with BAYHAND_FAULTS=all, since each builds the model anew.
func TestPlantedFaultsAreFound(t *testing.T) {
	simulator(t)
	for i, f := range planted {
		t.Run(f.title, func(t *testing.T) {
			overlay := f.plant(t)
			if i == 0 || os.Getenv("BAYHAND_FAULTS") == "all" {
				f.find(t, overlay)
			}
		})
	}
}

// plant writes the overlay of a model with the fault in it. It fails where the
// text that is to be replaced is not in the file exactly once.
func (f fault) plant(t *testing.T) string {
	t.Helper()
	path, err := filepath.Abs(f.file)
	if err != nil {
		t.Fatal(err)
	}
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(source), f.right); n != 1 {
		t.Fatalf("%s holds the text to be replaced %d times, not once; plant the fault anew:\n%s", f.file, n, f.right)
	}
	mutant := filepath.Join(t.TempDir(), f.file)
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {path: mutant}})
	if err != nil {
		t.Fatal(err)
	}
	for file, content := range map[string][]byte{mutant: []byte(strings.Replace(string(source), f.right, f.mistake, 1)), mutant + ".json": overlay} {
		if err := os.WriteFile(file, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return mutant + ".json"
}

// find runs the drawn nets on the faulty model, which must differ.
func (f fault) find(t *testing.T, overlay string) {
	t.Helper()
	tool := exec.CommandContext(t.Context(), "go", "test", "-overlay", overlay, "-vet=off", "-count=1", "-run", "^TestNetsAndDecksAgree$", ".")
	tool.Env = append(os.Environ(), "BAYHAND_NETS=100")
	answer, err := tool.CombinedOutput()
	switch {
	case err == nil:
		t.Fatal("100 drawn nets show no difference")
	case !bytes.Contains(answer, []byte("model and deck differ")):
		t.Fatalf("the nets did not run: %v\n%s", err, answer)
	}
}
