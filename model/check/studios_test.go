package check_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/text"
)

// filedStudio is a studio of the corpus with its sessions, as a person keeps
// them.
type filedStudio struct {
	room     *heard.Room
	places   text.Places
	sessions []check.Filed
}

func readFolder(t *testing.T, dir string) filedStudio {
	t.Helper()
	src, err := os.ReadFile(filepath.Join(dir, "studio.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	s, places, problems := text.ReadStudio("studio.yaml", src)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	f := filedStudio{room: heard.NewRoom(s), places: places}
	files, err := filepath.Glob(filepath.Join(dir, "sessions", "*.yaml"))
	if err != nil || len(files) == 0 {
		t.Fatal("no sessions", err)
	}
	open := func(name string) (string, []byte, error) {
		src, err := os.ReadFile(filepath.Join(dir, "sessions", name+".yaml"))
		return name + ".yaml", src, err
	}
	for _, file := range files {
		name, src, err := open(strings.TrimSuffix(filepath.Base(file), ".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		session, places, problems := text.ReadSession(name, src, s, open)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		f.sessions = append(f.sessions, check.Filed{Session: session, Places: places})
	}
	return f
}

// findings are all that can be found, as the command finds them, less what is accepted.
func (f filedStudio) findings(t *testing.T) []check.Finding {
	findings := append(check.Studio(f.room, f.places), check.Devices(f.room.Studio(), described(t), f.places)...)
	for _, s := range f.sessions {
		findings = append(findings, check.Session(f.room, s.Session, s.Places)...)
	}
	findings = append(findings, check.Sessions(f.sessions)...)
	left, _ := check.Accept(findings, f.room.Studio().Accepted)
	return append(left, check.Unmet(findings, f.room.Studio().Accepted, f.places)...)
}

// goodStudios are three rooms as people keep them, and the made-up studio that
// ships.
var goodStudios = []string{
	"testdata/studios/home-room", "testdata/studios/mix-room", "testdata/studios/teaching-room", "../../cmd/bayhand/demo/heron",
}

// Nothing is said of a good studio that its owner would wave away: nothing at all.
func TestGoodStudios(t *testing.T) {
	for _, dir := range goodStudios {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			for _, f := range readFolder(t, dir).findings(t) {
				t.Errorf("%s: %v", f.Code, f)
			}
		})
	}
}

// What good studios ask for can be had: each session keeps a patch that gives it,
// plugged with the cords owned.
func TestGoodStudiosAreGiven(t *testing.T) {
	for _, name := range []string{"home-room", "mix-room", "teaching-room"} {
		f := readFolder(t, filepath.Join("testdata", "studios", name))
		for _, s := range f.sessions {
			if s.Session.Patch == nil {
				t.Fatalf("%s of %s keeps no patch", s.Session.Name, name)
			}
			for _, fault := range f.room.CheckGiven(s.Session, *s.Session.Patch, nil) {
				t.Errorf("%s of %s: %v", s.Session.Name, name, fault)
			}
		}
	}
}

// compare holds a text against a file of testdata.
func compare(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("what is written differs, see -update (-was +is):\n%s", diff)
	}
}

// written is findings as a person reads them.
func written(findings []check.Finding) string {
	var lines strings.Builder
	for _, f := range findings {
		lines.WriteString(f.Code + " " + f.Severity + " " + f.Place.String() + "\n  " + f.Message + "\n  " + f.Hint + "\n")
	}
	return lines.String()
}
