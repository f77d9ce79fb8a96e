package check_test

import (
	"flag"
	"path/filepath"
	"slices"
	"testing"

	"bayhand/drivers/descriptions"
	"bayhand/model/check"
	"bayhand/model/device"
	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/text"
)

var update = flag.Bool("update", false, "write the findings of the examples anew")

// read finds everything in an example, in its studio first. What the reader
// refuses is not looked at further, as in the command.
func read(t *testing.T, e check.Example) []check.Finding {
	t.Helper()
	s, places, problems := text.ReadStudio("studio.yaml", []byte(e.Studio))
	if len(problems) > 0 {
		return problems
	}
	room := heard.NewRoom(s)
	findings := append(check.Studio(room, places), check.Devices(s, described(t), places)...)
	if e.Session == "" {
		left, _ := check.Accept(findings, s.Accepted)
		return append(left, check.Unmet(findings, s.Accepted, places)...)
	}
	session, places, problems := text.ReadSession("session.yaml", []byte(e.Session), s, nil)
	if len(problems) > 0 {
		return append(findings, problems...)
	}
	findings = append(findings, check.Session(room, session, places)...)
	if !text.Problems(findings).Errors() {
		findings = append(findings, ungiven(t, room, session, places)...)
	}
	if e.Other == "" {
		return findings
	}
	other, more, problems := text.ReadSession("other.yaml", []byte(e.Other), s, nil)
	if len(problems) > 0 {
		t.Fatalf("the example cannot be read:\n%v", problems)
	}
	return append(findings, check.Sessions([]check.Filed{{Session: session, Places: places}, {Session: other, Places: more}})...)
}

// described reads the descriptions that ship.
func described(t *testing.T) func(string) (*device.Description, bool) {
	return func(name string) (*device.Description, bool) {
		file, src, err := descriptions.Named(name)
		if err != nil {
			return nil, false
		}
		d, _, problems := text.ReadDevice(file, src)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		return d, true
	}
}

// ungiven plans a session as a caller would, and has it told.
func ungiven(t *testing.T, room *heard.Room, s *session.Session, places text.Places) []check.Finding {
	t.Helper()
	p, err := planner.Target(t.Context(), plan.Request{Studio: room.Studio(), From: room.Studio().Rest, Session: s, Effort: 20})
	if err != nil {
		t.Fatal(err)
	}
	var obstacles []check.Obstacle
	for _, m := range p.Missing {
		obstacles = append(obstacles, check.Obstacle{Want: m.Want, Because: m.Because, Key: m.Key})
	}
	return check.NotGiven(s, places, obstacles)
}

// The examples of the manual are the tests: the bad one has a finding of its
// rule, at a place and with something to do; the good one has none at all.
func TestExamples(t *testing.T) {
	for _, r := range check.Rules() {
		t.Run(r.Code, func(t *testing.T) {
			findings := read(t, r.Bad)
			compare(t, filepath.Join("testdata", r.Code+".txt"), written(findings))
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
	if findings := check.Sessions([]check.Filed{one, none, filed("four.yaml", "program: 8\n"), filed("five.yaml", "program: 7\nbank: 1\n"), none}); len(findings) > 0 {
		t.Errorf("different programs were found to be the same: %v", findings)
	}
	findings := check.Sessions([]check.Filed{one, none, two})
	if len(findings) != 1 || findings[0].Code != "program-twice" || findings[0].File != "two.yaml" || findings[0].Line != 2 {
		t.Errorf("program 7 in two files gave %v", findings)
	}
}
