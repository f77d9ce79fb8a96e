package text_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

const untidy = `# An invented studio
# in two lines

# where the cables go
wiring:
  - interface/out1 -> main/t1
  - interface/out2-3 -> main/t2-3
  # the next one is new
  - interface/out4 -> main/t4
  - interface/out5 -> main/t5   # crackles
  - interface/out6 -> main/t6

  - interface/out7 -> main/t7
  - interface/out8 -> main/t8
  - main/b1   -> interface/in1
  - {from: main/b2, to: interface/in2}

bays:
  # the big one
  main:
    modes: {1-8: half-normal}   # all of them
    # eight columns
    pairs: 8
gear:
  zither:
    inputs: {in1: pro-line}
    outputs:
      out1: pro-line
  interface: {outputs: {out1-8: pro-line}, inputs: {in1-8: pro-line}}

studio: Heron Boathouse  # its name
ties:
- main/t1 = main/b3
- main/t2 = main/b4
# the end`

const tidied = `# An invented studio
# in two lines

studio: Heron Boathouse  # its name
gear:
  zither:
    outputs:
      out1: pro-line
    inputs: {in1: pro-line}
  interface: {outputs: {out1-8: pro-line}, inputs: {in1-8: pro-line}}

bays:
  # the big one
  main:
    # eight columns
    pairs: 8
    modes: {1-8: half-normal}   # all of them

# where the cables go
wiring:
  - interface/out1-3 -> main/t1-3
  # the next one is new
  - interface/out4 -> main/t4
  - interface/out5 -> main/t5   # crackles
  - interface/out6 -> main/t6

  - interface/out7-8 -> main/t7-8
  - main/b1   -> interface/in1
  - {from: main/b2, to: interface/in2}
ties:
- main/t1-2 = main/b3-4
# the end`

func TestTidy(t *testing.T) {
	got, err := text.Tidy("studio.yaml", []byte(untidy))
	if err != nil || string(got) != tidied {
		t.Errorf("tidied to\n%s\n(%v), want\n%s", got, err, tidied)
	}
}

// What cannot be tidied is left as it is, or refused with the reason.
func TestTidyLeavesAlone(t *testing.T) {
	for _, src := range []string{
		"{wiring: [], studio: x}",                                                    // in braces
		"wiring: []\nhobby: x\nstudio: x\n",                                          // an unknown key
		"lines: &all {a: {}}\nstudio: x\ngear: *all\n",                               // the anchor must stand first
		"session: x\nnotes: |+\n  two lines\n\nprogram: 3\n",                         // the blank line is part of the text
		"session: x\nconnect:\n- a: b/out1 -> c/in1\n- b/out2 -> c/in2\n",            // a label
		"session: x\nconnect:\n- b/out1 -> c/1 -> d/in1\n- b/out2 -> c/2 -> d/in2\n", // chains keep their order
	} {
		got, err := text.Tidy("file.yaml", []byte(src))
		if err == nil && string(got) != src {
			t.Errorf("%q became %q", src, got)
		}
	}
	for src, want := range map[string]string{
		"":                        "holds nothing",
		"- a":                     "is no mapping",
		"room: x":                 "is no studio, session, patch, device or house",
		"studio: x\nstudio: y":    "stands twice",
		"studio: [":               "a value is missing",
		"session: x\n\tcut: []\n": "tab",
	} {
		if _, err := text.Tidy("file.yaml", []byte(src)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", src, err, want)
		}
	}
}

// beside are the comments and blank lines of a file, sorted.
func besideLines(src string) []string {
	var all []string
	for line := range strings.SplitSeq(strings.TrimSuffix(src, "\n"), "\n") {
		if line = strings.TrimSpace(line); line == "" || line[0] == '#' {
			all = append(all, line)
		} else if _, comment, found := strings.Cut(line, " #"); found {
			all = append(all, comment)
		}
	}
	slices.Sort(all)
	return all
}

// withoutKeys is a studio without the places of its lines.
func withoutKeys(s *studio.Studio) studio.Studio {
	to := *s
	to.Wires, to.Ties, to.Normals = slices.Clone(s.Wires), slices.Clone(s.Ties), slices.Clone(s.Normals)
	for i := range to.Wires {
		to.Wires[i].Key = ""
	}
	for i := range to.Ties {
		to.Ties[i].Key = ""
	}
	for i := range to.Normals {
		to.Normals[i].Key = ""
	}
	return to
}

func wantsWithoutKeys(s *session.Session) session.Session {
	to := *s
	to.Wants = slices.Clone(s.Wants)
	for i := range to.Wants {
		to.Wants[i].Key = ""
	}
	return to
}

// checkTidy holds for every file that is tidied: it stays tidy, nothing beside
// the keys is lost, and what is read is the same.
func checkTidy(t interface{ Errorf(string, ...any) }, src []byte, boathouse *studio.Studio) {
	got, err := text.Tidy("file.yaml", src)
	if err != nil {
		return
	}
	if again, err := text.Tidy("file.yaml", got); err != nil || string(again) != string(got) {
		t.Errorf("%q was tidied to %q and then to %q (%v)", src, got, again, err)
	}
	before, _, problems := text.ReadStudio("file.yaml", src)
	if after, _, more := text.ReadStudio("file.yaml", got); !problems.Errors() && (more.Errors() || !reflect.DeepEqual(withoutKeys(before), withoutKeys(after))) {
		t.Errorf("%q was tidied to %q, which says something else (%v)", src, got, more)
	}
	if !strings.Contains(string(src), "session") {
		return
	}
	asked, _, problems := text.ReadSession("file.yaml", src, boathouse, nil)
	if after, _, more := text.ReadSession("file.yaml", got, boathouse, nil); !problems.Errors() && (more.Errors() || !reflect.DeepEqual(wantsWithoutKeys(asked), wantsWithoutKeys(after))) {
		t.Errorf("%q was tidied to %q, which asks for something else (%v)", src, got, more)
	}
}

func TestTidyKeepsWhatFilesSay(t *testing.T) {
	boathouse := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	for _, pattern := range []string{"testdata/ok/*/*.yaml", "../../cmd/bayhand/demo/heron/*.yaml", "../../cmd/bayhand/demo/heron/sessions/*.yaml"} {
		for _, file := range files(t, pattern) {
			src := read(t, file)
			got, err := text.Tidy(file, src)
			if err != nil {
				if !strings.Contains(file, "present") {
					t.Errorf("%s: %v", file, err)
				}
				continue
			}
			checkTidy(t, src, boathouse)
			if !slices.Equal(besideLines(string(src)), besideLines(string(got))) {
				t.Errorf("%s lost a comment or a blank line:\n%s", file, got)
			}
		}
	}
}

// Files whose keys stand in any order, with comments and blank lines anywhere
// between them and wires one by one, come out tidy.
func TestTidyProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blocks := [][]string{
			{"studio: Made up"},
			{"gear:", "  a: {outputs: {out1-9: pro-line}}", "  b:", "    inputs: {in1-9: pro-line}", "    label: B"},
			{"bays:", "  main:", "    modes: isolated", "    pairs: 20"},
			append([]string{"wiring:"}, wiresOf(t, "a/out", "main/t")...),
			append([]string{"ties:"}, tiesOf(t)...),
			{"dummies: 3"},
		}
		var lines []string
		for i, n := range rapid.Permutation([]int{0, 1, 2, 3, 4, 5}).Draw(t, "order") {
			for _, line := range blocks[n] {
				switch rapid.IntRange(0, 8).Draw(t, "beside") {
				case 0:
					lines = append(lines, "")
				case 1:
					lines = append(lines, fmt.Sprintf("%s# comment %d", line[:len(line)-len(strings.TrimLeft(line, " "))], i))
				case 2:
					line += " # behind"
				}
				lines = append(lines, line)
			}
		}
		src := strings.Join(lines, rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "line end"))
		got, err := text.Tidy("file.yaml", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		checkTidy(t, []byte(src), &studio.Studio{})
		if !slices.Equal(besideLines(strings.ReplaceAll(src, "\r", "")), besideLines(strings.ReplaceAll(string(got), "\r", ""))) {
			t.Fatalf("%q lost something beside its keys: %q", src, got)
		}
		at := -1
		for _, key := range []string{"studio:", "gear:", "bays:", "wiring:", "ties:", "dummies:"} {
			next := strings.Index("\n"+string(got), "\n"+key)
			if next <= at {
				t.Fatalf("%s stands too early in %q", key, got)
			}
			at = next
		}
	})
}

func wiresOf(t *rapid.T, from, to string) []string {
	var lines []string
	for i := 1; i <= 9; i++ {
		if rapid.Bool().Draw(t, "wired") {
			lines = append(lines, fmt.Sprintf("  - %s%d -> %s%d", from, i, to, i))
		}
	}
	return lines
}

func tiesOf(t *rapid.T) []string {
	var lines []string
	for i := 1; i <= 6; i++ {
		lines = append(lines, fmt.Sprintf("- main/t%d = main/b%d", i+10, i+rapid.IntRange(0, 1).Draw(t, "shift")*10))
	}
	return lines
}

func FuzzTidy(f *testing.F) {
	seed(f, "testdata/ok/*/*.yaml", "testdata/bad/studio/*.yaml", "testdata/bad/session/*.yaml")
	f.Add([]byte(untidy))
	boathouse := room(f)
	f.Fuzz(func(t *testing.T, src []byte) { checkTidy(t, src, boathouse) })
}
