package keep

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Every code that the keeper can say is declared, and depends on declared ones.
func TestEveryProblemIsDeclared(t *testing.T) {
	declared := map[string]bool{}
	for _, c := range Conditions {
		if declared[c.Code] {
			t.Errorf("%s is declared twice", c.Code)
		}
		declared[c.Code] = true
	}
	for _, c := range Conditions {
		for _, on := range c.DependsOn {
			if !declared[on] || on == c.Code {
				t.Errorf("%s depends on %s", c.Code, on)
			}
		}
	}
	for code := range codesInSource(t) {
		if !declared[code] {
			t.Errorf("%s is said and not declared", code)
		}
	}
}

// codesInSource are the codes of the problems that this package's source makes.
func codesInSource(t *testing.T) map[string]bool {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	take := func(e ast.Expr) {
		if l, ok := e.(*ast.BasicLit); ok && l.Kind == token.STRING {
			code, _ := strconv.Unquote(l.Value)
			found[code] = true
		}
	}
	look := func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			if s, ok := n.Fun.(*ast.SelectorExpr); ok && s.Sel.Name == "problem" && len(n.Args) > 0 {
				take(n.Args[0])
			}
		case *ast.CompositeLit:
			isProblem := false
			if id, ok := n.Type.(*ast.Ident); ok {
				isProblem = id.Name == "Problem"
			} else if list, ok := n.Type.(*ast.ArrayType); ok {
				id, ok := list.Elt.(*ast.Ident)
				isProblem = ok && id.Name == "Problem"
			}
			for _, e := range n.Elts {
				if inner, ok := e.(*ast.CompositeLit); ok && isProblem {
					for _, f := range inner.Elts {
						takeCode(f, take)
					}
				}
				if isProblem {
					takeCode(e, take)
				}
			}
		}
		return true
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, look)
	}
	if len(found) < 8 {
		t.Errorf("only %v are found in the source", found)
	}
	return found
}

func takeCode(e ast.Expr, take func(ast.Expr)) {
	if kv, ok := e.(*ast.KeyValueExpr); ok {
		if id, ok := kv.Key.(*ast.Ident); ok && id.Name == "Code" {
			take(kv.Value)
		}
	}
}

func TestWorth(t *testing.T) {
	now := time.Date(2031, 5, 4, 10, 20, 30, 0, time.UTC)
	at := func(code string, ago time.Duration) Problem { return Problem{Code: code, Since: now.Add(-ago)} }
	for _, c := range []struct {
		name string
		all  []Problem
		want string
	}{
		{"nothing", nil, ""},
		{"at once", []Problem{at("journal", 0)}, "journal"},
		{"a device that restarts", []Problem{at("no-answer", 4*time.Second)}, ""},
		{"a device that is gone", []Problem{at("no-answer", 5*time.Second)}, "no-answer"},
		{"what follows from it", []Problem{at("differs", time.Hour), at("no-answer", time.Minute)}, "no-answer"},
		{"what follows from what is not due yet", []Problem{at("differs", time.Hour), at("no-answer", time.Second)}, "differs"},
		{"a chain", []Problem{at("session-unread", time.Hour), at("session-file", time.Hour), at("studio-file", time.Hour)}, "studio-file"},
		{"the clock was set back", []Problem{at("no-answer", -time.Hour)}, "no-answer"},
		{"found by others", []Problem{at("program", 0)}, "program"},
	} {
		var codes []string
		for _, p := range Worth(c.all, now) {
			codes = append(codes, p.Code)
		}
		if got := strings.Join(codes, " "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
