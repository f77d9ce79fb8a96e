package phrase

import (
	"strings"
	"testing"
)

func TestNearest(t *testing.T) {
	names := []string{"interface", "compressor", "box", "delay", "main", "mic-pre", "recall", "pull", "plug", "check"}
	for typed, want := range map[string]string{
		"Interface": "interface", "INTERFACE": "interface", "interfce": "interface", "interface1": "interface",
		"compressors": "compressor", "comp": "compressor", "boxes": "box", "delays": "delay",
		"mian": "main", "Main": "main", "Mic-Pre": "mic-pre", "micpre": "mic-pre", "chekc": "check",
		"pul": "pull", "xylophone": "", "": "", strings.Repeat("interface", 10): "",
	} {
		if got := Nearest(typed, names); got != want {
			t.Errorf("%q is near %q, not %q", typed, got, want)
		}
	}
	if got := Nearest("interface", []string{"Mixer", "Interface"}); got != "Interface" {
		t.Errorf("capital letters of a name: %q", got)
	}
	if got := Nearest("plud", []string{"plum", "plug"}); got != "plug" {
		t.Errorf("of two that are as near it is %q", got)
	}
}

// A capital letter alone is nearer than any other letter.
func TestNearestByCase(t *testing.T) {
	if got := Nearest("t1", []string{"T1", "b1", "t2"}); got != "T1" {
		t.Errorf("t1 is near %q", got)
	}
}
