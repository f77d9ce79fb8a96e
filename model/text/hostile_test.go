package text_test

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"bayhand/model/studio"
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
			// Measured at some 20 ms; a minute is for a machine that does much else, and
			// the bomb would take hours.
			if test.name == "a bomb of aliases" && took > time.Minute {
				t.Errorf("it took %v", took)
			}
		})
	}
}

// Mistakes are told one by one up to a hundred and counted beyond; a file that has
// more than any person makes is read no further.
func TestMistakesAreCounted(t *testing.T) {
	for mistakes, last := range map[int]string{
		100: "", 1334: "and 1,234 more from here on", 20_000: "and more than 10,000 more mistakes; reading ended there",
	} {
		_, _, problems := text.ReadSession("s.yaml", []byte("session: x\n"+lines(mistakes)), &studio.Studio{}, nil)
		if last == "" {
			if len(problems) != mistakes {
				t.Errorf("%d mistakes are told of %d", len(problems), mistakes)
			}
			continue
		}
		if end := problems[len(problems)-1]; len(problems) != 101 || end.Message != last || end.Line != 102 || !problems.Errors() {
			t.Errorf("of %d mistakes: %d problems, the last %v", mistakes, len(problems), end)
		}
	}
}

func lines(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "key%d: x\n", i)
	}
	return b.String()
}

// A wrong file costs what it is large, not a thousand times that, whether its mistakes
// stand on lines of their own or on one: 1.1 MB of names that nothing has.
func TestWrongFileCostsLittle(t *testing.T) {
	const size = 1_100_000
	for name, src := range map[string]string{
		"lines":    "session: x\n" + lines(size/13),
		"one line": "session: x\nsilent: [" + strings.Repeat("nothing/in1, ", size/13) + "]\n",
	} {
		read, shown := costs(t, name, []byte(src))
		// Measured: 60 to 140 times to read it.
		if read > 300*size {
			t.Errorf("%s take %d times their size to read", name, read/size)
		}
		if shown > size {
			t.Errorf("the excerpts of %s take %d bytes together", name, shown)
		}
	}
}

// costs is the memory that is asked for to read a file, and to show its mistakes.
func costs(t *testing.T, name string, src []byte) (read, shown uint64) {
	t.Helper()
	var stages [3]runtime.MemStats
	runtime.ReadMemStats(&stages[0])
	_, _, problems := text.ReadSession("s.yaml", src, &studio.Studio{}, nil)
	runtime.ReadMemStats(&stages[1])
	for _, p := range problems {
		if text.Excerpt(src, p.Place) == "" {
			t.Errorf("%s: no excerpt of %v", name, p)
		}
	}
	runtime.ReadMemStats(&stages[2])
	return stages[1].TotalAlloc - stages[0].TotalAlloc, stages[2].TotalAlloc - stages[1].TotalAlloc
}

// Aliases that stand for little are read like what they stand for.
func TestAliases(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte("studio: &name x\ngear:\n  a: &g {label: *name, outputs: {out1: pro-line}}\n  b: *g\n"))
	if problems != nil || s.Gear[1].Label != "x" || s.Gear[1].Ports[0].Point.String() != "b/out1" {
		t.Errorf("%+v (%v)", s.Gear, problems)
	}
}
