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
	"nobody said yes":                   "the question was not answered with yes",
	"so that comes out first":           "JACK already has X",
	"undone, back to":                   "undid the recall of X: back to Y, undid the undo",
	"does not fit what is known":        "nothing was changed: REASON",
	"can't open its link":               "not found. Check the cable; bayhand links lists ports",
	"nothing to say against":            "no problems found",
	"no plug has to be touched":         "no plug to handle",
	"Tell it ":                          "Report",
	"It is not as it says":              "Something's different",
	"nobody has said what is plugged":   "Nothing is reported in the bay yet",
	"Local codes and licensed practice": "follow local codes; leave it to licensed people",
	"hanging loose":                     "loose",
	"From the files alone":              "Files",
	"the session what the room is to":   "Set the room up",
	"The way back to rest":              "the steps back to the rest patch",
	"Have the daemon started":           "Start the daemon",
	"what it did was not taken":         "not saved",
	"bay is taken to be":                "assumes the rest patch",
	"at rest":                           "in the rest patch",
	"put back":                          "restored",
	"puts it back":                      "restores it",
	"hangs on":                          "is connected to",
	"hang on":                           "be connected to",
	"hangs by":                          "connects by",
	"hangs in":                          "is in",
	"hangs beside":                      "is on the wall beside",
	"bay hangs":                         "bay is mounted",
	"bays hang":                         "bays are",
	"may howl":                          "may feed back",
	"can howl":                          "can feed back",
	"and howl":                          "and feed back",
	"howls as soon":                     "feeds back as soon",
	"a howl ":                           "feedback",
	"two-pole cord":                     "TS cord",
	"(two-pole)":                        "TS",
	"three-pole":                        "TRS",
	"is believed":                       "assumed, or reported",
	"ever believed":                     "assumed",
	"listens to in":                     "in 3 -> out 1",
	"listen to in":                      "in 3 -> out 1",
	"listen to MIC":                     "MIC -> MAIN",
	"a lead ":                           "a gear cable",
	"the lead %s":                       "the gear cable",
	"cord or lead":                      "cord or gear cable",
	"cord, lead":                        "cord, gear cable",
	"by leads":                          "by gear cables",
	"takes leads":                       "takes gear cables",
	"its leads":                         "its gear cables",
	"is tried again":                    "Retrying",
	"taken to be as":                    "assumed to be",
	"It is done":                        "Done",
	"It was already so":                 "Already plugged",
	"So it is":                          "Confirm",
	"Forget it":                         "Cancel",
	"cannot be fewer":                   "the minimum",
	"Tell it that":                      "Report",
	"hanging from":                      "loose",
	"hangs loose":                       "loose",
	"whose line is not asked":           "no read-back",
	"cannot be asked what it does":      "online, no read-back",
	"turned by hand, and left":          "changed at the device; left alone",
	"keeps away from":                   "breaks normal A -> B",
	"comes to be heard again":           "restores A -> B",
	"is not needed":                     "not needed",
	"plug lead":                         "plug gear cable",
	"pull lead":                         "unplug gear cable",
	"pulling the ":                      "unplugging the ",
	"pulled a cord":                     "unplugged a cord",
	"cord pulled":                       "cord unplugged",
	"was pulled":                        "was unplugged",
	"pulled out":                        "unplugged",
	"to be pulled":                      "to be unplugged",
	"plug to pull":                      "plug to unplug",
	"to pull.":                          "to unplug",
	"Pull the ":                         "Unplug the ",
	"Pull that":                         "Unplug that",
	"Pull either":                       "Unplug either",
	"Pull it":                           "Unplug it",
	"pull the ":                         "unplug the ",
	"pull cords":                        "unplug cords",
	"pull what":                         "unplug what",
	"pull: must":                        "unplug: must come out",
	"pull a cord":                       "unplug a cord",
	"nothing moves":                     "no change",
	"tagged as faulty":                  "faulty jacks",
	"held in ":                          "in use in",
	"asked for now":                     "current",
	"What it would do":                  "Preview",
	"Left to do":                        "To do",
	"What happened":                     "Status and history",
	"Falls silent":                      "Will lose signal",
	"In the bays":                       "Cords in",
	"The bench":                         "Practice bench",
	"sound again":                       "OK again",
	"sound shields":                     "intact cable shields",
	"no maker's device":                 "real hardware",
	"was not taken":                     "not saved",
	"Say it again when":                 "Try again when",
	"may no longer be so":               "Last update",
	"is in force":                       "still using the last good version",
	"there is nothing at that path":     "not found",
	"no daemon keeps":                   "no daemon is running",
	"is too much":                       "unexpected argument",
	"is none; write":                    "is not valid",
	"soldered all the way":              "hard-wired",
	"Standing by":                       "Daemon and devices",
	"follows from nothing else that is": "root causes only",
	"lets no cord hang":                 "leaves no loose plugs",
	"knows what its outputs listen":     "output state unknown",
	"nobody has said that it is back":   "still muted: nobody reported it unmuted",
	"nobody kept the room":              "bayhand was off for a while",
	"search ended early":                "search stopped early",
	"no such taste":                     "ignores style",
	"brings the room back":              "brings the routing back",
	"every check of the house":          "the test suite",
	"and tell it":                       "report them done",
	"Be a matrix on":                    "Simulate a matrix on",
	"start anew when their line":        "some devices reset when their port is opened",
	"not from the page as it stands":    "This page is out of date",
	"which came through gear":           "before that, through gear",
	"goes on through gear":              "after that, through gear",
	"No longer heard":                   "Will lose signal",
	"no longer hears":                   "loses",
	"this would be so":                  "as it would be with",
	"it could with":                     "it would be possible with",
	"Next move":                         "Next step",
	"tick moves":                        "tick steps",
	"Taken.":                            "Saved.",
	"Not taken":                         "Not saved",
	"nobody kept":                       "bayhand was off",
	"told by root":                      "reported by root",
	"a matrix is being switched":        "switching matrices",
	"it was not asked yet":              "not checked yet",
	"a person switches it":              "switched by hand (no device:)",
	"closed, to be opened":              "to open",
	"comes to be heard":                 "restores A -> B",
	"everything on its way":             "signal path complete",
	"What it asks for":                  "Connections",
	"How it is":                         "Status",
	"could not be had":                  "not possible",
	"to be had at the same":             "the cords owned serve",
	"is kept as it was until":           "stays as it is",
	"ask for something else now":        "changed",
	"It works again":                    "OK again",
	"published handbook":                "the number with its reason",
	"domestic":                          "consumer",
	"is a belief":                       "sent, not confirmed",
	"works half-way in":                 "what the plug joins",
	"gear that no bay has":              "gear that is not wired to a bay",
	"level is told":                     "level is given",
}

// Nobody reads a phrase that was retired: not in what the program says, on the page,
// on paper, or in the manual, nor in the scripts and the pages that tests hold it to.
// Names of files and of examples stay what they are.
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
			if err != nil || entry.IsDir() || strings.Contains(file, "testdata/fuzz") || strings.Contains(file, "testdata/axe") {
				return err
			}
			switch filepath.Ext(file) {
			case ".go":
				if strings.HasSuffix(file, "_test.go") {
					return nil
				}
				read++
				return literals(file, look)
			case ".html", ".js", ".md", ".txtar", ".txt", ".yaml":
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
