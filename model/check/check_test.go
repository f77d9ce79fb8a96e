package check_test

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/text"
)

var update = flag.Bool("update", false, "write the findings of the examples anew")

// read finds everything in an example, in its studio first.
func read(t *testing.T, e check.Example) []check.Finding {
	t.Helper()
	s, places, problems := text.ReadStudio("studio.yaml", []byte(e.Studio))
	if len(problems) > 0 {
		t.Fatalf("the example cannot be read:\n%v", problems)
	}
	room := heard.NewRoom(s)
	findings := check.Studio(room, places)
	if e.Session == "" {
		return findings
	}
	session, places, problems := text.ReadSession("session.yaml", []byte(e.Session), s, nil)
	if len(problems) > 0 {
		t.Fatalf("the example cannot be read:\n%v", problems)
	}
	return append(findings, check.Session(room, session, places)...)
}

// The examples of the manual are the tests: the bad one has a finding of its
// rule, at a place and with something to do; the good one has none at all.
func TestExamples(t *testing.T) {
	for _, r := range check.Rules() {
		if r.Bad.Studio == "" {
			continue // among several sessions; see TestSessions
		}
		t.Run(r.Code, func(t *testing.T) {
			findings := read(t, r.Bad)
			golden(t, r.Code, findings)
			if !slices.ContainsFunc(findings, func(f check.Finding) bool { return f.Code == r.Code }) {
				t.Errorf("the bad example has no %s, but %v", r.Code, findings)
			}
			for _, f := range findings {
				if f.Line == 0 || f.Column == 0 || f.Hint == "" {
					t.Errorf("%+v lacks a place or a hint", f)
				}
			}
			if findings := read(t, r.Good); len(findings) > 0 {
				t.Errorf("the good example has findings: %v", findings)
			}
		})
	}
}

// golden compares what a person reads with testdata.
func golden(t *testing.T, code string, findings []check.Finding) {
	t.Helper()
	var lines strings.Builder
	for _, f := range findings {
		lines.WriteString(f.Code + " " + f.Severity + " " + f.Place.String() + "\n  " + f.Message + "\n  " + f.Hint + "\n")
	}
	path := filepath.Join("testdata", code+".txt")
	if *update {
		if err := os.WriteFile(path, []byte(lines.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), lines.String()); diff != "" {
		t.Errorf("findings differ (-was +is):\n%s", diff)
	}
}

func TestRulesAreWritten(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range check.Rules() {
		switch {
		case seen[r.Code]:
			t.Errorf("two rules are called %s", r.Code)
		case r.Title == "" || r.Manual == "":
			t.Errorf("%s has no page", r.Code)
		case !slices.Contains([]string{text.Error, text.Warning, text.Advice}, r.Severity):
			t.Errorf("%s has the severity %q", r.Code, r.Severity)
		}
		seen[r.Code] = true
	}
}

func TestSessions(t *testing.T) {
	const studio = "studio: A plate\ngear:\n  plate: {inputs: {in1: home-line}, outputs: {out1: home-line}}\n"
	s, _, problems := text.ReadStudio("studio.yaml", []byte(studio))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	filed := func(file, program string) check.Filed {
		session, places, problems := text.ReadSession(file, []byte("session: "+file+"\n"+program), s, nil)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		return check.Filed{Session: session, Places: places}
	}
	one, two, none := filed("one.yaml", "program: 7\n"), filed("two.yaml", "program: 7\n"), filed("three.yaml", "")
	if findings := check.Sessions([]check.Filed{one, none, filed("four.yaml", "program: 8\n"), none}); len(findings) > 0 {
		t.Errorf("different programs were found to be the same: %v", findings)
	}
	findings := check.Sessions([]check.Filed{one, none, two})
	if len(findings) != 1 || findings[0].Code != "program-twice" || findings[0].File != "two.yaml" || findings[0].Line != 2 {
		t.Errorf("program 7 in two files gave %v", findings)
	}
}

// The made-up studio that ships is a good one: nothing in it is an error or a
// warning.
func TestTheDemoIsGood(t *testing.T) {
	const dir = "../../cmd/bayhand/demo/heron"
	src, err := os.ReadFile(filepath.Join(dir, "studio.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, places, problems := text.ReadStudio("studio.yaml", src)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	room := heard.NewRoom(s)
	findings := check.Studio(room, places)
	files, err := filepath.Glob(filepath.Join(dir, "sessions", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatal("no sessions", err)
	}
	open := func(name string) (string, []byte, error) {
		path := filepath.Join(dir, "sessions", name+".yaml")
		src, err := os.ReadFile(path)
		return path, src, err
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		session, places, problems := text.ReadSession(file, src, s, open)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		findings = append(findings, check.Session(room, session, places)...)
	}
	for _, f := range findings {
		t.Log(f)
		if f.Severity != text.Advice {
			t.Errorf("%s: %v", f.Code, f)
		}
	}
}
