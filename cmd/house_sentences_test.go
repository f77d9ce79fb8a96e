package cmd_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// speaking are the folders whose sentences people read: at the bay, on paper, at the
// command line, and about their files.
var speaking = []string{"cmd/bayhand", "drivers", "recall", "model", "simulators/panel"}

// unspoken are files whose texts are joined and are no sentences, with what they are.
var unspoken = map[string]string{
	"cmd/bayhand/install/man.go":     "marks of a man page",
	"recall/page/studiodraft.go":     "lines of a file",
	"recall/serve/client.go":         "a header of HTTP",
	"recall/serve/guest.go":          "a key by which tries are counted",
	"recall/serve/welcome.go":        "a policy for browsers",
	"model/check/devices.go":         "a file of an example",
	"model/schedule/schedule.go":     "keys by which cables are matched",
	"model/strip/names.go":           "keys of a file",
	"model/planner/byhand/byhand.go": "files of a test",
	"model/studio/socket.go":         "a value of a file",
	"model/text/relay.go":            "lines of a file",
	"model/text/rewire.go":           "keys and values of a file",
	"model/text/schema.go":           "a schema",
	"model/text/write_chain.go":      "lines of a file",
	"model/text/write_gear.go":       "lines of a file",
	"model/text/write_guests.go":     "lines of a file",
	"model/text/write_patch.go":      "lines of a file",
	"model/text/write_session.go":    "lines of a file",
}

// A sentence is whole, with named places, so that it can be translated: no piece of one
// is joined to another with +, and what Put fills is named in the sentence.
func TestSentencesAreWhole(t *testing.T) {
	read, left := 0, maps.Clone(unspoken)
	for _, dir := range speaking {
		err := filepath.WalkDir(filepath.Join("..", dir), func(file string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
				return err
			}
			faults := gluedSentences(t, file, nil)
			if called := roomed(file); unspoken[called] != "" {
				if len(faults) > 0 {
					delete(left, called)
				}
				return nil
			}
			read++
			for _, fault := range faults {
				t.Error(fault)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if read < 900 {
		t.Errorf("only %d files were read", read)
	}
	for file, what := range left {
		t.Errorf("%s (%s) joins no texts; take it from the list", file, what)
	}
}

// What is looked for is found.
func TestGluedSentencesAreFound(t *testing.T) {
	for code, faults := range map[string]int{
		`"the cord " + a + " is missing"`:                             2,
		`Put("the cord {cord} is missing", "cord", a)`:                0,
		`words.Put("the cord {cord} is missing", "dummy", a)`:         2,
		`Put(", written on {day}", "day", a)`:                         1,
		`Count(2, "1 cord of {length}", "{n} cords", "length", a)`:    0,
		`Count(2, "1 cord of {lenght}", "{n} cords", "length", a)`:    2,
		`func() string { b := a; b += ", and more of it"; return b }`: 1,
		`a + ": " + a`:                                            0,
		`"Faults on request:\n\n" + a`:                            0,
		`"a long sentence " + "in two lines"`:                     0,
		`"Manual of " + "` + "`bays:`" + ` and their" + " modes"`: 0,
		`f(panic("the folder is not there: " + a))`:               0,
		`Put("{i d} is not there", "i d", a)`:                     1,
		`Put("{x} is not there", "x", a)`:                         1,
		`fmt.Sprintf("; did you mean %s?", a)`:                    1,
		`fmt.Sprintf("%s; did you mean %s?", a, b)`:               0,
	} {
		src := "package p\nvar v = " + code + "\n"
		if got := gluedSentences(t, "one.go", src); len(got) != faults {
			t.Errorf("%s: %d faults, want %d: %v", code, len(got), faults, got)
		}
	}
}

// gluedSentences are the faults of a Go file, each with its place.
func gluedSentences(t *testing.T, file string, src any) []string {
	t.Helper()
	files := token.NewFileSet()
	parsed, err := parser.ParseFile(files, file, src, 0)
	if err != nil {
		t.Fatal(err)
	}
	var faults []string
	fault := func(at ast.Node, text string) { faults = append(faults, files.Position(at.Pos()).String()+": "+text) }
	ast.Inspect(parsed, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BinaryExpr:
			if n.Op != token.ADD {
				return true
			}
			pieces, joined := chainOf(n)
			for _, piece := range pieces {
				if joined && pieceOfSentence(piece) {
					fault(piece, "a piece of a sentence is joined; write the whole sentence with named places, and fill them with Put")
				}
			}
			return !joined || len(pieces) == 0
		case *ast.AssignStmt:
			if n.Tok == token.ADD_ASSIGN && pieceOfSentence(n.Rhs[0]) {
				fault(n, "a piece of a sentence is added; choose between whole sentences")
			}
		case *ast.CallExpr:
			if called(n) == "panic" {
				return false // a programmer reads it
			}
			for _, text := range misfilled(n) {
				fault(n, text)
			}
		}
		return true
	})
	return faults
}

// chainOf are the literals of a sum, and whether anything else is in it: a literal in
// several lines is one.
func chainOf(e ast.Expr) (literals []ast.Expr, joined bool) {
	if sum, ok := e.(*ast.BinaryExpr); ok && sum.Op == token.ADD {
		left, leftJoined := chainOf(sum.X)
		right, rightJoined := chainOf(sum.Y)
		return append(left, right...), leftJoined || rightJoined
	}
	if _, ok := textOf(e); ok {
		return []ast.Expr{e}, false
	}
	return nil, true
}

// pieceOfSentence tells a literal with words in it. Texts of several lines are put
// together of paragraphs, and commands are no sentences.
func pieceOfSentence(e ast.Expr) bool {
	text, ok := textOf(e)
	return ok && strings.ContainsFunc(text, unicode.IsLower) && strings.Contains(text, " ") &&
		!strings.ContainsAny(text, "\n`") && !strings.HasPrefix(strings.TrimSpace(text), "bayhand") && !unitOf(text)
}

// unitOf tells a unit behind a number, which is the same in every language.
func unitOf(text string) bool {
	return slices.Contains([]string{" m", " mm", " cm", " Hz", " kHz", " ohm", " kohm", " Mohm", " mA", " dB", " dBu", " pF/m", " ohm/m"}, text)
}

var place = regexp.MustCompile(`\{([a-z ]+)\}`)

// called is the name of what is called, without its package.
func called(call *ast.CallExpr) string {
	switch f := call.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

// misfilled says what is wrong with a call of Put, Count or Sprintf.
func misfilled(call *ast.CallExpr) []string {
	first, sentences := 1, call.Args[:min(1, len(call.Args))]
	switch {
	case called(call) == "Sprintf" && len(call.Args) > 0:
		if text, ok := textOf(call.Args[0]); ok && beginsInside(text) {
			return []string{"it begins in the middle: " + strconv.Quote(text)}
		}
		return nil
	case called(call) == "Count" && len(call.Args) > 2:
		first, sentences = 3, call.Args[1:3]
	case called(call) != "Put":
		return nil
	}
	var filled, named, faults []string
	for i := first; i < len(call.Args); i += 2 {
		if text, ok := textOf(call.Args[i]); ok {
			filled = append(filled, text)
		}
	}
	whole := true
	for _, e := range sentences {
		text, ok := textOf(e)
		whole = whole && ok
		if ok && beginsInside(text) {
			faults = append(faults, "it begins in the middle: "+strconv.Quote(text))
		}
		for _, found := range place.FindAllStringSubmatch(text, -1) {
			named = append(named, found[1])
			if slices.ContainsFunc(strings.Fields(found[1]), func(word string) bool { return len(word) == 1 && found[1] != "n" }) {
				faults = append(faults, "{"+found[1]+"} tells a translator nothing")
			}
		}
	}
	if !whole {
		return faults // the sentence was chosen before
	}
	for _, n := range named {
		if !slices.Contains(filled, n) && (n != "n" || called(call) != "Count") {
			faults = append(faults, "nothing fills {"+n+"}")
		}
	}
	for _, f := range filled {
		if !slices.Contains(named, f) {
			faults = append(faults, "no place is named {"+f+"}")
		}
	}
	return faults
}

// beginsInside tells a text that continues another. Text that is set off is none.
func beginsInside(text string) bool {
	rest := strings.TrimLeft(text, " ,;:")
	return rest != text && strings.ContainsFunc(rest, unicode.IsLower) && strings.Contains(rest, " ") && !strings.HasPrefix(text, "  ")
}

// textOf is what a literal says.
func textOf(e ast.Expr) (string, bool) {
	l, ok := e.(*ast.BasicLit)
	if !ok || l.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(l.Value)
	return text, err == nil
}
