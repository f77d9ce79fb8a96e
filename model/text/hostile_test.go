package text_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bayhand/model/text"
)

// A few hundred bytes that stand for 10^9 parts: each list holds the one before
// it ten times.
func bomb() string {
	var b strings.Builder
	b.WriteString("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n")
	for i := 1; i < 9; i++ {
		fmt.Fprintf(&b, "a%d: &a%d [%s]\n", i, i, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*a%d, ", i-1), 10), ", "))
	}
	return b.String()
}

func TestHostileFilesEnd(t *testing.T) {
	gear := "studio: x\ngear:\n  a: {outputs: {out1-9999: pro-line}, inputs: {in1-9999: pro-line}}\n"
	for _, test := range []struct{ name, src, code string }{
		{"a bomb of aliases", "studio: x\n" + bomb(), "alias"},
		{"brackets", strings.Repeat("[", 100000), "syntax"},
		{"braces", strings.Repeat("{a: ", 100000), "syntax"},
		{"lists", strings.Repeat("- ", 100000), "syntax"},
		{"a deep tree", "studio: x\ngear: " + strings.Repeat("{a: ", 100) + strings.Repeat("}", 100), "nesting"},
		{"a large file", strings.Repeat("#", 4<<20+1), "size"},
		{"too many mistakes", "studio: x\n" + strings.Repeat("k: v\n", 2000), "size"},
		{"all to all", gear[:len(gear)-2] + ", passes: [in1-9999 => out1-9999]}\n", "size"},
		{"long wires", gear + "wiring:\n" + strings.Repeat("  - a/out1-9999 -> a/in1-9999\n", 500), "size"},
		{"missing crosspoints", "studio: x\nmatrices:\n  a: {inputs: 9999, outputs: 9999, missing: [in1-9999 x out1-9999]}\n", "size"},
	} {
		t.Run(test.name, func(t *testing.T) {
			begun := time.Now()
			_, _, problems := text.ReadStudio("studio.yaml", []byte(test.src))
			took := time.Since(begun)
			found := false
			for _, p := range problems {
				found = found || p.Code == test.code
			}
			if !found || !problems.Errors() {
				t.Errorf("no problem of the kind %s in %d problems: %.300v", test.code, len(problems), problems)
			}
			// Measured at some 20 ms; a second is for a busy machine, and the
			// bomb would take hours.
			if test.name == "a bomb of aliases" && took > time.Second {
				t.Errorf("it took %v", took)
			}
		})
	}
}

// Aliases that stand for little are read like what they stand for.
func TestAliases(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte("studio: &name x\ngear:\n  a: &g {label: *name, outputs: {out1: pro-line}}\n  b: *g\n"))
	if problems != nil || s.Gear[1].Label != "x" || s.Gear[1].Ports[0].Point.String() != "b/out1" {
		t.Errorf("%+v (%v)", s.Gear, problems)
	}
}
