package cmd_test

import (
	"go/ast"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The sizes that a reader can hold.
const (
	longestFile     = 400 // lines, tests as well
	longestFunction = 60  // lines, outside tests
)

func TestNoFileIsLongerThanAReaderHolds(t *testing.T) {
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") {
			return err
		}
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		clean := roomed(path)
		if n := strings.Count(string(src), "\n"); n > longestFile {
			t.Errorf("%s has %d lines, and %d are the most: it is about more than one subject", clean, n, longestFile)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// roomed is a path as it is below the project's folder.
func roomed(path string) string {
	return filepath.ToSlash(strings.TrimPrefix(path, ".."+string(filepath.Separator)))
}

func TestNoFunctionIsLongerThanAReaderHolds(t *testing.T) {
	for _, s := range sources(t) {
		for _, d := range s.file.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			n := s.set.Position(f.End()).Line - s.set.Position(f.Pos()).Line + 1
			if n > longestFunction {
				t.Errorf("%s: %s has %d lines, and %d are the most", s.path, f.Name.Name, n, longestFunction)
			}
		}
	}
}

// shape is a type with what it embeds and what it names itself.
type shape struct {
	room, name string
	isStruct   bool
	embeds     []string // as room.Name, of this project
	own        map[string]bool
}

func (s *shape) key() string { return s.room + "." + s.name }

// shapes are the types of the project by room.Name. What comes from outside the
// project is not looked into.
func shapes(t *testing.T) map[string]*shape {
	t.Helper()
	all := map[string]*shape{}
	files := sources(t)
	for _, s := range files {
		for _, d := range s.file.Decls {
			if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.TYPE {
				for _, spec := range g.Specs {
					one := shapeOf(s, spec.(*ast.TypeSpec))
					all[one.key()] = one
				}
			}
		}
	}
	for _, s := range files {
		for _, d := range s.file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv != nil {
				if one := all[s.room+"."+typeName(f.Recv.List[0].Type)]; one != nil {
					one.own[f.Name.Name] = true
				}
			}
		}
	}
	return all
}

func shapeOf(s source, spec *ast.TypeSpec) *shape {
	one := &shape{room: s.room, name: spec.Name.Name, own: map[string]bool{}}
	var fields *ast.FieldList
	switch kind := spec.Type.(type) {
	case *ast.StructType:
		one.isStruct, fields = true, kind.Fields
	case *ast.InterfaceType:
		fields = kind.Methods
	default:
		return one
	}
	for _, f := range fields.List {
		if len(f.Names) == 0 {
			one.embeds = append(one.embeds, embedded(s, f.Type))
			one.own[typeName(f.Type)] = true
		}
		for _, n := range f.Names {
			one.own[n.Name] = true
		}
	}
	return one
}

// typeName is the last word of a type, without pointer and parameters.
func typeName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.StarExpr:
		return typeName(e.X)
	case *ast.IndexExpr:
		return typeName(e.X)
	case *ast.SelectorExpr:
		return e.Sel.Name
	case *ast.Ident:
		return e.Name
	}
	return ""
}

// embedded is room.Name of an embedded type; a type from outside the project has
// its package's name as its room.
func embedded(s source, e ast.Expr) string {
	if star, ok := e.(*ast.StarExpr); ok {
		e = star.X
	}
	selector, ok := e.(*ast.SelectorExpr)
	if !ok {
		return s.room + "." + typeName(e)
	}
	from := selector.X.(*ast.Ident).Name
	for _, path := range imports(s) {
		if room, ours := strings.CutPrefix(path, module); ours && filepath.Base(room) == from {
			return room + "." + selector.Sel.Name
		}
	}
	return from + "." + selector.Sel.Name
}

// A struct that is embedded embeds no struct: what a name means stands at most one
// step away.
func TestNoEmbeddingIsDeeperThanOne(t *testing.T) {
	all := shapes(t)
	for _, one := range all {
		for _, e := range one.embeds {
			inner := all[e]
			if !one.isStruct || inner == nil {
				continue
			}
			for _, deeper := range inner.embeds {
				if all[deeper] != nil && all[deeper].isStruct {
					t.Errorf("%s embeds %s, which embeds %s: name the field", one.key(), e, deeper)
				}
			}
		}
	}
}

// No name of a struct hides one of a struct that it embeds, and no two that it
// embeds have a name in common. An embedded interface is another thing: a wrapper
// does some of its methods itself and hands the others on.
func TestNoNameHidesAnother(t *testing.T) {
	all := shapes(t)
	for _, one := range all {
		if !one.isStruct {
			continue
		}
		from := map[string]string{}
		for name := range one.own {
			from[name] = one.key()
		}
		for _, e := range one.embeds {
			if all[e] == nil || !all[e].isStruct {
				continue
			}
			for name := range all[e].own {
				if obvious[name] {
					continue
				}
				if other, taken := from[name]; taken {
					t.Errorf("%s embeds %s, and %s is a name of %s as well", one.key(), e, name, other)
				}
				from[name] = e
			}
		}
	}
}

// A type that a reader can hold has few methods, in however many files they stand.
func TestNoTypeHasMoreMethodsThanAReaderHolds(t *testing.T) {
	const most = 40
	for key, methods := range methodsOf(t, "") {
		if methods > most {
			t.Errorf("%s has %d methods, and %d are the most: it is more than one part", key, methods, most)
		}
	}
}

// methodsOf counts the methods of each type below a folder, by room.Name.
func methodsOf(t *testing.T, below string) map[string]int {
	t.Helper()
	count := map[string]int{}
	for _, s := range sources(t) {
		if !within(s.room, below) {
			continue
		}
		for _, d := range s.file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Recv != nil {
				count[s.room+"."+typeName(f.Recv.List[0].Type)]++
			}
		}
	}
	return count
}
