package level

import (
	"bytes"
	"os"
	"testing"

	"bayhand/simulators/planted"
)

// fault is one mistake that could have been made in the networks: a text of a
// source file, and what a mistaken hand would have written.
type fault struct {
	title, file, right, mistake string
}

var faults = []fault{
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
	for i, f := range faults {
		t.Run(f.title, func(t *testing.T) {
			overlay := planted.Fault{Title: f.title, File: f.file, Right: f.right, Mistake: f.mistake}.Overlay(t)
			if i == 0 || os.Getenv("BAYHAND_FAULTS") == "all" {
				differs(t, overlay)
			}
		})
	}
}

// differs runs the drawn nets on the faulty model, which must differ, or come to no end.
func differs(t *testing.T, overlay string) {
	t.Helper()
	got := planted.Run(t, overlay, "TestNetsAndDecksAgree", planted.Usual, "BAYHAND_NETS=100")
	switch {
	case got.Hung:
		t.Logf("found, as it comes to no end in %v", planted.Usual)
	case got.Err == nil:
		t.Fatal("100 drawn nets show no difference")
	case !bytes.Contains(got.Answer, []byte("model and deck differ")):
		t.Fatalf("the nets did not run: %v\n%s", got.Err, got.Answer)
	}
}
