package cmd_test

import (
	"go/ast"
	"go/token"
	"testing"
)

// What the model computes it may compute for several callers at once, as
// nothing in it changes a variable of a package. Together with the ban on
// goroutines that is why its tests run without the race detector, which makes
// the searches ten times as long.
func TestModelSharesNothing(t *testing.T) {
	shared := map[string]map[string]bool{} // variables of each package
	for _, s := range sources(t) {
		if !within(s.room, "model") {
			continue
		}
		if shared[s.room] == nil {
			shared[s.room] = map[string]bool{}
		}
		for _, d := range s.file.Decls {
			for _, name := range variables(d) {
				shared[s.room][name] = true
			}
		}
	}
	for _, s := range sources(t) {
		ast.Inspect(s.file, func(n ast.Node) bool {
			for _, target := range changed(n) {
				if id := root(target); id != nil && shared[s.room][id.Name] && !local(s, id) {
					t.Errorf("%s changes %s, which all callers share", s.set.Position(id.Pos()), id.Name)
				}
			}
			return true
		})
	}
}

func variables(d ast.Decl) (names []string) {
	g, ok := d.(*ast.GenDecl)
	if !ok || g.Tok != token.VAR {
		return nil
	}
	for _, spec := range g.Specs {
		for _, id := range spec.(*ast.ValueSpec).Names {
			names = append(names, id.Name)
		}
	}
	return names
}

// changed are what a statement writes to.
func changed(n ast.Node) []ast.Expr {
	switch n := n.(type) {
	case *ast.AssignStmt:
		if n.Tok != token.DEFINE {
			return n.Lhs
		}
	case *ast.IncDecStmt:
		return []ast.Expr{n.X}
	case *ast.CallExpr:
		if f, ok := n.Fun.(*ast.Ident); ok && (f.Name == "delete" || f.Name == "clear") && f.Obj == nil {
			return n.Args[:1]
		}
	}
	return nil
}

// root is the variable that an expression reaches into, or nil.
func root(e ast.Expr) *ast.Ident {
	for {
		switch x := e.(type) {
		case *ast.Ident:
			return x
		case *ast.IndexExpr:
			e = x.X
		case *ast.SelectorExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		default:
			return nil
		}
	}
}

// local says whether the name is declared within a function.
func local(s source, id *ast.Ident) bool {
	if id.Obj == nil {
		return false // declared in another file of the package
	}
	return s.file.Scope.Lookup(id.Name) != id.Obj
}
