package paper

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "write the golden files anew")

func written(t *testing.T, s Sheet, width int) string {
	t.Helper()
	var b bytes.Buffer
	if err := Text(&b, s, width); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestText(t *testing.T) {
	for _, test := range []struct {
		file  string
		sheet Sheet
		width int
	}{
		{"evening.txt", eveningSheet(t), 80},
		{"evening-narrow.txt", eveningSheet(t), 40},
		{"long.txt", long(t), 80},
		{"nothing.txt", Sheet{Studio: "Heron Boathouse", Session: "tern-mix-2"}, 80},
	} {
		t.Run(test.file, func(t *testing.T) {
			got := written(t, test.sheet, test.width)
			path := filepath.Join("testdata", test.file)
			if *update {
				if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// No label may push a line over the width, or reach the terminal as a command.
func TestTextNeverExceedsItsWidth(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := eveningSheet(t)
		label := rapid.StringOfN(rapid.SampledFrom([]rune("ab é語ー한e\u0301 -,/ßЖ🎚")), 0, 200, -1)
		i := rapid.IntRange(0, len(s.Lines)-1).Draw(rt, "line")
		s.Lines[i].Action.From = label.Draw(rt, "from")
		s.Lines[i].Why = label.Draw(rt, "why")
		s.Lines[i].ID = label.Draw(rt, "id")
		s.Session, s.Studio = label.Draw(rt, "session"), label.Draw(rt, "studio")
		width := rapid.IntRange(1, 120).Draw(rt, "width")
		for _, line := range strings.Split(written(t, s, width), "\n") {
			if n := columns(line); n > max(width, Narrowest) {
				rt.Fatalf("a line of %d columns where %d were given: %q", n, width, line)
			}
		}
	})
}

func TestWrapKeepsEveryWord(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.StringOf(rapid.SampledFrom([]rune("ab é語ーe\u0301 -,"))).Draw(rt, "text")
		lines := wrapColumns(text, rapid.IntRange(2, 30).Draw(rt, "width"))
		bare := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if got := strings.Join(lines, ""); bare(got) != bare(text) {
			rt.Fatalf("wrapped %q to %q", text, lines)
		}
	})
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestWritersReportTheirError(t *testing.T) {
	if err := Text(full{}, eveningSheet(t), 80); err == nil {
		t.Error("Text says nothing of a full disk")
	}
	if _, err := PDF(full{}, eveningSheet(t), A4); err == nil {
		t.Error("PDF says nothing of a full disk")
	}
}
