package cmd_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// alone are the packages that .ci/run tests without the race detector, as it has them.
func alone(t *testing.T) *regexp.Regexp {
	t.Helper()
	run, err := os.ReadFile(filepath.Join("..", ".ci", "run"))
	if err != nil {
		t.Fatal(err)
	}
	found := regexp.MustCompile(`(?m)^alone='(.+)'$`).FindSubmatch(run)
	if found == nil {
		t.Fatal(".ci/run does not say what is tested without the race detector")
	}
	return regexp.MustCompile(string(found[1]))
}

// What is tested without the race detector runs beside nothing, in its tests too: so the
// detector would find nothing there.
func TestWhatIsTestedAloneStartsNothing(t *testing.T) {
	alone, rooms := alone(t), map[string]bool{"cmd": true}
	for _, s := range sources(t) {
		rooms[s.room] = true
	}
	files := 0
	for room := range rooms {
		if !alone.MatchString(module+room) || within(room, "model") {
			continue // the model: TestModelStartsNoGoroutine
		}
		here, err := filepath.Glob(filepath.Join("..", room, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range here {
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			files++
			ast.Inspect(file, func(n ast.Node) bool {
				if startsSomething(n) {
					t.Errorf("%s starts something that runs beside it: take its package out of what .ci/run tests alone", path)
				}
				return true
			})
		}
	}
	if files < 50 {
		t.Errorf("only %d files are looked at", files)
	}
}

// startsSomething says whether a statement is go, or a call of what begins a goroutine:
// Go of a group, Parallel of a test.
func startsSomething(n ast.Node) bool {
	if _, is := n.(*ast.GoStmt); is {
		return true
	}
	call, is := n.(*ast.CallExpr)
	if !is {
		return false
	}
	called, is := call.Fun.(*ast.SelectorExpr)
	return is && (called.Sel.Name == "Go" || called.Sel.Name == "Parallel")
}
