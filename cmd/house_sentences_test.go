package cmd_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// speaking are the packages whose sentences people read at the bay, on paper and at the
// command line.
var speaking = []string{"recall/words", "recall/paper", "recall/listen", "cmd/bayhand"}

// drawing are files whose texts are no sentences.
var drawing = []string{"recall/paper/svg.go"}

// A sentence is whole, with named places, so that it can be translated: no piece of one
// is joined to another with +, and what Put fills is named in the sentence.
func TestSentencesAreWhole(t *testing.T) {
	read := 0
	for _, dir := range speaking {
		found, err := filepath.Glob(filepath.Join("..", dir, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range found {
			if strings.HasSuffix(file, "_test.go") || slices.Contains(drawing, filepath.ToSlash(strings.TrimPrefix(file, "../"))) {
				continue
			}
			read++
			for _, fault := range gluedSentences(t, file, nil) {
				t.Error(fault)
			}
		}
	}
	if read < 150 {
		t.Errorf("only %d files were read", read)
	}
}

// What is looked for is found.
func TestGluedSentencesAreFound(t *testing.T) {
	for code, faults := range map[string]int{
		`"the cord " + a + " is missing"`:                             2,
		`Put("the cord {a} is missing", "a", a)`:                      0,
		`words.Put("the cord {a} is missing", "b", a)`:                2,
		`Put(", written on {day}", "day", a)`:                         1,
		`Count(2, "1 cord of {length}", "{n} cords", "length", a)`:    0,
		`Count(2, "1 cord of {lenght}", "{n} cords", "length", a)`:    2,
		`func() string { b := a; b += ", and more of it"; return b }`: 1,
		`a + ": " + a`:                 0,
		`"Faults on request:\n\n" + a`: 0,
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
			if n.Op == token.ADD {
				for _, side := range []ast.Expr{n.X, n.Y} {
					if pieceOfSentence(side) {
						fault(side, "a piece of a sentence is joined; write the whole sentence with named places, and fill them with words.Put")
					}
				}
			}
		case *ast.AssignStmt:
			if n.Tok == token.ADD_ASSIGN && pieceOfSentence(n.Rhs[0]) {
				fault(n, "a piece of a sentence is added; choose between whole sentences")
			}
		case *ast.CallExpr:
			for _, text := range misfilled(n) {
				fault(n, text)
			}
		}
		return true
	})
	return faults
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
	return slices.Contains([]string{" m", " mm", " Hz", " kHz", " ohm", " mA"}, text)
}

var place = regexp.MustCompile(`\{([a-z ]+)\}`)

// misfilled says what is wrong with a call of Put or Count.
func misfilled(call *ast.CallExpr) []string {
	called := ""
	switch f := call.Fun.(type) {
	case *ast.Ident:
		called = f.Name
	case *ast.SelectorExpr:
		called = f.Sel.Name
	}
	first, sentences := 1, call.Args[:min(1, len(call.Args))]
	switch {
	case called == "Count" && len(call.Args) > 2:
		first, sentences = 3, call.Args[1:3]
	case called != "Put":
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
		if ok && strings.TrimLeft(text, " ,;:") != text {
			faults = append(faults, "it begins in the middle: "+strconv.Quote(text))
		}
		for _, found := range place.FindAllStringSubmatch(text, -1) {
			named = append(named, found[1])
		}
	}
	if !whole {
		return faults // the sentence was chosen before
	}
	for _, n := range named {
		if !slices.Contains(filled, n) && (n != "n" || called != "Count") {
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

// textOf is what a literal says.
func textOf(e ast.Expr) (string, bool) {
	l, ok := e.(*ast.BasicLit)
	if !ok || l.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(l.Value)
	return text, err == nil
}
