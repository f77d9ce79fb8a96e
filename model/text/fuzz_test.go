package text_test

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// seed gives the corpora to a fuzz target.
func seed(f *testing.F, patterns ...string) {
	for _, pattern := range patterns {
		for _, file := range files(f, pattern) {
			src, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			if len(src) < 8192 {
				f.Add(src)
			}
		}
	}
}

// checkProblems holds for every file: problems are sorted, and each stands at a
// place that the file has.
func checkProblems(t *testing.T, src []byte, problems text.Problems) {
	for i, p := range problems {
		if i > 0 && problems[i-1].Compare(p) >= 0 {
			t.Errorf("%v is not before %v", problems[i-1], p)
		}
		if p.Message == "" || p.Code == "" || p.Severity != text.Error {
			t.Errorf("a problem without words: %+v", p)
		}
		if p.Line < 1 || p.Column < 1 {
			t.Errorf("a problem without a place: %+v", p)
		} else if p.File == "fuzzed.yaml" && text.Excerpt(src, p.Place) == "" {
			t.Errorf("the file has no place for %v", p)
		}
	}
}

func FuzzReadStudio(f *testing.F) {
	seed(f, "testdata/ok/*/studio.yaml", "testdata/bad/studio/*.yaml")
	f.Fuzz(func(t *testing.T, src []byte) {
		s, _, problems := text.ReadStudio("fuzzed.yaml", src)
		checkProblems(t, src, problems)
		if !problems.Errors() {
			checkStudio(t, s)
		}
	})
}

func FuzzReadHouse(f *testing.F) {
	seed(f, "testdata/ok/*/house.yaml", "testdata/bad/house/*.yaml")
	rooms := readStudio(f, "testdata/ok/visitors/studio.yaml")
	f.Fuzz(func(t *testing.T, src []byte) {
		h, _, problems := text.ReadHouse("fuzzed.yaml", src, rooms)
		checkProblems(t, src, problems)
		if problems.Errors() {
			return
		}
		for _, room := range rooms.Rooms {
			if _, is := h.Of(room.Name); !is {
				t.Errorf("no host keeps %s", room.Name)
			}
		}
	})
}

// checkStudio holds for every studio that was read without an error.
func checkStudio(t *testing.T, s *studio.Studio) {
	for _, b := range s.Bays {
		for n, mode := range b.Modes {
			if mode == studio.ModeUnknown {
				t.Errorf("pair %d of %s has no mode", n+1, b.Name)
			}
		}
	}
	for _, w := range s.Wires {
		for _, p := range []string{w.From.String(), w.To.String()} {
			if _, err := text.Resolve(s, p); err != nil {
				t.Errorf("a wire names %s: %v", p, err)
			}
		}
	}
}

func room(f *testing.F) *studio.Studio { return readStudio(f, "testdata/ok/boathouse/studio.yaml") }

func FuzzReadSession(f *testing.F) {
	seed(f, "testdata/ok/boathouse/session*.yaml", "testdata/bad/session/*.yaml")
	fuzzSession(f, room(f))
}

// In a room with boxes and switches, sessions may have guests.
func FuzzReadSessionWithGuests(f *testing.F) {
	seed(f, "testdata/ok/visitors/session*.yaml", "testdata/bad/session/visitors.yaml")
	f.Add([]byte(allOfAGuest))
	fuzzSession(f, readStudio(f, "testdata/ok/visitors/studio.yaml"))
}

// fuzzSession: what is read is written so that it reads back the same.
func fuzzSession(f *testing.F, s *studio.Studio) {
	f.Fuzz(func(t *testing.T, src []byte) {
		read, _, problems := text.ReadSession("fuzzed.yaml", src, s, nil)
		checkProblems(t, src, problems)
		if problems.Errors() {
			return
		}
		written := text.WriteSession(*read, text.InStudio(s))
		again, _, problems := text.ReadSession("fuzzed.yaml", written, s, nil)
		if problems != nil || !reflect.DeepEqual(sorted(read.Wants), sorted(again.Wants)) {
			t.Errorf("%s\nwas written as\n%s\n%v", src, written, problems)
		}
		if diff := sameHead(read, again); diff != "" {
			t.Errorf("%s\nwas written as\n%s\n%s", src, written, diff)
		}
	})
}

func FuzzReadPatch(f *testing.F) {
	seed(f, "testdata/ok/boathouse/present*.yaml", "testdata/bad/patch/*.yaml")
	s := room(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		p, _, problems := text.ReadPatch("fuzzed.yaml", src, s)
		checkProblems(t, src, problems)
		if problems.Errors() {
			return
		}
		again, _, problems := text.ReadPatch("fuzzed.yaml", text.WritePatch(p), s)
		if problems != nil || !reflect.DeepEqual(p, again) {
			t.Errorf("%s\nwas written as\n%s\n%v", src, text.WritePatch(p), problems)
		}
	})
}

func FuzzReadDevice(f *testing.F) {
	seed(f, "testdata/ok/devices/*.yaml", "testdata/bad/device/*.yaml")
	f.Fuzz(func(t *testing.T, src []byte) {
		_, _, problems := text.ReadDevice("fuzzed.yaml", src)
		checkProblems(t, src, problems)
	})
}

// Keeping a patch changes the patch and nothing else: whatever the file is, the
// session that is read from it is the same beside.
func FuzzKeepPatch(f *testing.F) {
	seed(f, filepath.Join("testdata/ok/boathouse/session*.yaml"))
	f.Add([]byte(kept))
	f.Add([]byte("  patch: {}\n  session: x\n"))
	s := room(f)
	p := patch.Patch{Cords: []patch.Cord{{A: point(f, "main/t1"), B: point(f, "main/b25")}}}
	f.Fuzz(func(t *testing.T, src []byte) {
		kept, err := text.KeepPatch(src, p)
		if err != nil {
			return
		}
		before, _, problems := text.ReadSession("fuzzed.yaml", src, s, nil)
		after, _, more := text.ReadSession("fuzzed.yaml", kept, s, nil)
		if problems.Errors() {
			return
		}
		if more.Errors() || after.Patch == nil || !reflect.DeepEqual(*after.Patch, p) {
			t.Fatalf("%q became %q (%v)", src, kept, more)
		}
		before.Patch, after.Patch = nil, nil
		for _, wants := range [][]session.Want{before.Wants, after.Wants} {
			for i := range wants {
				wants[i].Key = ""
			}
		}
		if !reflect.DeepEqual(before, after) {
			t.Fatalf("%q became %q", src, kept)
		}
	})
}

// What a person types names a place that the room has, or is told why not; the
// place's own name names it again.
func FuzzResolve(f *testing.F) {
	for _, typed := range []string{"main/t1", "t1", "interface/out1", "out1", "grid/in1", "desk/ins1.send", "main/a7", "é", "main/t1-2"} {
		f.Add(typed)
	}
	s := room(f)
	f.Fuzz(func(t *testing.T, typed string) {
		p, err := text.Resolve(s, typed)
		if err != nil {
			if err.Error() == "" {
				t.Errorf("%q is refused without a word", typed)
			}
			return
		}
		if again, err := text.Resolve(s, p.String()); err != nil || again != p {
			t.Errorf("%q names %v, which names %v (%v)", typed, p, again, err)
		}
	})
}
