package files

import (
	"slices"
	"strings"
	"testing"
)

// What keeps a pair from being set up is one finding for both.
func TestObstaclesOfAPair(t *testing.T) {
	l := libraryOf(t, map[string]string{
		"studio.yaml":         smallStudio + "faulty: [main/b1-2]\n",
		"sessions/tight.yaml": "session: Tight\nconnect:\n  - interface/out1 -> interface/in1\n  - interface/out2 -> interface/in2\n  - interface/out3 -> interface/in3\n",
	})
	p, err := l.Studio()
	if err != nil {
		t.Fatal(err)
	}
	s, err := l.Session(p, "tight")
	if err != nil {
		t.Fatal(err)
	}
	all, err := obstaclesOf(t.Context(), p, s.Session)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, o := range all {
		got = append(got, o.Want+": "+o.Because)
	}
	if want := []string{"interface/out1-2 -> interface/in1-2: tagged faulty: main/b1-2; each would be possible if mended"}; !slices.Equal(got, want) {
		t.Errorf("%q; it should be %q", got, want)
	}
}

// Who types a session's title is told its name, once.
func TestATitleIsNoName(t *testing.T) {
	session := func(title string) string {
		return "session: " + title + "\nconnect: [interface/out1 -> interface/in1]\n"
	}
	l := libraryOf(t, map[string]string{"studio.yaml": smallStudio, "sessions/song.yaml": session("Song"), "sessions/voice.yaml": session("Third Tuesday")})
	p, err := l.Studio()
	if err != nil {
		t.Fatal(err)
	}
	for typed, name := range map[string]string{"Song": "song", "Third Tuesday": "voice", "third tuesday": "voice"} {
		_, err := l.Session(p, typed)
		if err == nil || strings.Count(err.Error(), "did you mean "+name+"?") != 1 {
			t.Errorf("%s: %v", typed, err)
		}
	}
}
