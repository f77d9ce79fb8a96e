package text_test

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/studio"
	"bayhand/model/text"
)

var update = flag.Bool("update", false, "write the golden files anew")

func read(t testing.TB, file string) []byte {
	t.Helper()
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

func files(t testing.TB, pattern string) []string {
	t.Helper()
	found, err := filepath.Glob(pattern)
	if err != nil || len(found) == 0 {
		t.Fatalf("no files match %s (%v)", pattern, err)
	}
	return found
}

func exists(file string) bool {
	_, err := os.Stat(file)
	return err == nil
}

// beside opens sessions in a folder.
func beside(folder string) text.Opener {
	return func(name string) (string, []byte, error) {
		file := filepath.Join(folder, strings.TrimSuffix(name, ".yaml")+".yaml")
		src, err := os.ReadFile(file)
		if errors.Is(err, os.ErrNotExist) {
			err = errors.New("no such session")
		}
		return file, src, err
	}
}

func readStudio(t testing.TB, file string) *studio.Studio {
	t.Helper()
	s, _, problems := text.ReadStudio(file, read(t, file))
	if len(problems) > 0 {
		t.Fatalf("problems in %s:\n%v", file, problems)
	}
	return s
}

func TestFilesThatAreRight(t *testing.T) {
	for _, file := range files(t, "testdata/ok/*/studio.yaml") {
		s := readStudio(t, file)
		folder := filepath.Dir(file)
		for _, file := range files(t, filepath.Join(folder, "session*.yaml")) {
			if _, _, problems := text.ReadSession(file, read(t, file), s, beside(folder)); len(problems) > 0 {
				t.Errorf("problems in %s:\n%v", file, problems)
			}
		}
		if file := filepath.Join(folder, "house.yaml"); exists(file) {
			if _, _, problems := text.ReadHouse(file, read(t, file), s); len(problems) > 0 {
				t.Errorf("problems in %s:\n%v", file, problems)
			}
		}
		for _, file := range files(t, filepath.Join(folder, "present*.yaml")) {
			if _, _, problems := text.ReadPatch(file, read(t, file), s); len(problems) > 0 {
				t.Errorf("problems in %s:\n%v", file, problems)
			}
		}
	}
	// Rooms as people keep them.
	for _, file := range files(t, "../check/testdata/studios/*/studio.yaml") {
		s := readStudio(t, file)
		folder := filepath.Join(filepath.Dir(file), "sessions")
		for _, file := range files(t, filepath.Join(folder, "*.yaml")) {
			if _, _, problems := text.ReadSession(file, read(t, file), s, beside(folder)); len(problems) > 0 {
				t.Errorf("problems in %s:\n%v", file, problems)
			}
		}
	}
	// Devices: those that ship, and those that others are tested with.
	for _, folder := range []string{"testdata/ok/devices", "../../drivers/descriptions/devices", "../../drivers/conformance/testdata", "../../drivers/conformance/testdata/gangs"} {
		for _, file := range files(t, filepath.Join(folder, "*.yaml")) {
			if _, _, problems := text.ReadDevice(file, read(t, file)); len(problems) > 0 {
				t.Errorf("problems in %s:\n%v", file, problems)
			}
		}
	}
}

// Each file of the error corpus has its problems beside it, as a person sees
// them: the message, the line and a caret under the column.
func TestFilesThatAreWrong(t *testing.T) {
	boathouse := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	rooms := readStudio(t, "testdata/ok/visitors/studio.yaml")
	kinds := map[string]func(file string, src []byte) text.Problems{
		"studio": func(file string, src []byte) text.Problems {
			_, _, problems := text.ReadStudio(file, src)
			return problems
		},
		"session": func(file string, src []byte) text.Problems {
			_, _, problems := text.ReadSession(file, src, boathouse, beside("testdata/bad/session"))
			return problems
		},
		"patch": func(file string, src []byte) text.Problems {
			_, _, problems := text.ReadPatch(file, src, boathouse)
			return problems
		},
		"house": func(file string, src []byte) text.Problems {
			_, _, problems := text.ReadHouse(file, src, rooms)
			return problems
		},
		"device": func(file string, src []byte) text.Problems {
			_, _, problems := text.ReadDevice(file, src)
			return problems
		},
	}
	for kind, problemsOf := range kinds {
		for _, file := range files(t, filepath.Join("testdata/bad", kind, "*.yaml")) {
			problems := problemsOf(file, read(t, file))
			if !problems.Errors() {
				t.Errorf("%s has no errors", file)
			}
			golden(t, strings.TrimSuffix(file, ".yaml")+".golden", report(t, problems))
		}
	}
}

func report(t testing.TB, problems text.Problems) string {
	var b strings.Builder
	for _, p := range problems {
		b.WriteString(p.String() + "\n")
		if p.Line > 0 {
			b.WriteString(text.Excerpt(read(t, p.File), p.Place) + "\n")
		}
	}
	return b.String()
}

func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(string(read(t, file)), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", file, diff)
	}
}
