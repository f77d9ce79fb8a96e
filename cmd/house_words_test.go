package cmd_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// retired are phrases that people no longer read, with what they read instead. The
// glossary of the manual has the words that are used.
var retired = map[string]string{
	"turn up":                           "unmute",
	"tried again by and by":             "Retrying",
	"What stands in the way":            "Problems",
	"Good to know":                      "Notes",
	"Cannot be had":                     "Not possible",
	"told by a person":                  "reported",
	"sent, not read back":               "sent, not confirmed",
	"only believed":                     "assumed",
	"as far as is known":                "nothing: reported says it",
	"nothing is asked of the room":      "no session recalled",
	"the room gives what is asked":      "ready",
	"it cannot go on":                   "stopped: see problems",
	"the room waits for your hands":     "cords to plug",
	"which is not asked for":            "removes A -> B (not in this session)",
	"everything on its way is in place": "signal path complete",
	"is part of the room at rest":       "part of the rest patch",
	"nothing is closed":                 "all crosspoints open",
	"nothing was moved":                 "nothing was changed",
	"nothing to say against":            "no problems found",
	"no plug has to be touched":         "no plug to handle",
	"Tell it ":                          "Report",
	"It is not as it says":              "Something's different",
	"nobody has said what is plugged":   "nothing is reported in the bay yet",
	"Local codes and licensed practice": "follow local codes; leave it to licensed people",
	"hanging loose":                     "loose",
	"From the files alone":              "Files",
	"the session what the room is to":   "Set the room up",
	"The way back to rest":              "the steps back to the rest patch",
	"Have the daemon started":           "Start the daemon",
	"what it did was not taken":         "not saved",
	"bay is taken to be":                "assumes the rest patch",
}

// Nobody reads a phrase that was retired: not in what the program says, on the page,
// on paper, or in the manual. Names of files and of examples stay what they are.
func TestRetiredPhrasesAreGone(t *testing.T) {
	look := func(file, at, text string) {
		for phrase, instead := range retired {
			if strings.Contains(text, phrase) {
				t.Errorf("%s%s says %q; write %q", file, at, phrase, instead)
			}
		}
	}
	read := 0
	for _, top := range []string{"cmd", "drivers", "recall", "model", "simulators", "README.md"} {
		err := filepath.WalkDir(filepath.Join("..", top), func(file string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() || strings.Contains(file, "testdata") {
				return err
			}
			switch filepath.Ext(file) {
			case ".go":
				if strings.HasSuffix(file, "_test.go") {
					return nil
				}
				read++
				return literals(file, look)
			case ".html", ".js", ".md":
				read++
				src, err := os.ReadFile(file)
				for i, line := range strings.Split(string(src), "\n") {
					look(file, ":"+strconv.Itoa(i+1), line)
				}
				return err
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if read < 700 {
		t.Errorf("only %d files were read", read)
	}
}

// literals gives what the strings of a Go file say.
func literals(file string, look func(file, at, text string)) error {
	files := token.NewFileSet()
	parsed, err := parser.ParseFile(files, file, nil, 0)
	if err != nil {
		return err
	}
	ast.Inspect(parsed, func(n ast.Node) bool {
		if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			text, err := strconv.Unquote(lit.Value)
			if err == nil {
				look(file, ":"+strconv.Itoa(files.Position(lit.Pos()).Line), strings.ReplaceAll(text, "\n", " "))
			}
		}
		return true
	})
	return nil
}
