package cmd_test

import (
	"go/ast"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// A walk is a paragraph of the contributors' guide that follows something through the
// house, by the functions that it passes.
var (
	walkBegins = regexp.MustCompile(`^(Of|From) a `)
	quoted     = regexp.MustCompile("`([^`]+)`")
	identifier = regexp.MustCompile(`^[A-Za-z]+(\.[A-Za-z]+)?$`)
)

// walks are those paragraphs.
func walks(t *testing.T) []string {
	t.Helper()
	guide, err := os.ReadFile(filepath.Join("..", "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, paragraph := range strings.Split(string(guide), "\n\n") {
		if walkBegins.MatchString(paragraph) {
			all = append(all, paragraph)
		}
	}
	return all
}

// declared are the names of the house: alone, and behind their package or type.
func declared(t *testing.T) map[string]bool {
	t.Helper()
	all := map[string]bool{}
	for _, s := range sources(t) {
		room := filepath.Base(s.room)
		all[room] = true
		add := func(within, name string) { all[name], all[room+"."+name], all[within+"."+name] = true, true, true }
		ast.Inspect(s.file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				within := ""
				if n.Recv != nil {
					within = typeName(n.Recv.List[0].Type)
				}
				add(within, n.Name.Name)
			case *ast.TypeSpec:
				add("", n.Name.Name)
				addFields(n, add)
			case *ast.Field, *ast.ValueSpec:
				for _, name := range namesOf(n) {
					add("", name.Name)
				}
			}
			return true
		})
	}
	return all
}

// addFields adds the fields of a struct, or the methods of an interface, by their type.
func addFields(spec *ast.TypeSpec, add func(within, name string)) {
	var fields *ast.FieldList
	switch kind := spec.Type.(type) {
	case *ast.StructType:
		fields = kind.Fields
	case *ast.InterfaceType:
		fields = kind.Methods
	default:
		return
	}
	for _, f := range fields.List {
		for _, name := range f.Names {
			add(spec.Name.Name, name.Name)
		}
	}
}

func namesOf(n ast.Node) []*ast.Ident {
	switch n := n.(type) {
	case *ast.Field:
		return n.Names
	case *ast.ValueSpec:
		return n.Names
	}
	return nil
}

// Who follows a walk finds each function there, under the name that is told.
func TestWalksPassFunctionsThatExist(t *testing.T) {
	const least = 4
	all, known := walks(t), declared(t)
	if len(all) < least {
		t.Fatalf("only %d walks found in DEVELOPERS.md", len(all))
	}
	for _, walk := range all {
		passed := 0
		for _, m := range quoted.FindAllStringSubmatch(walk, -1) {
			if !identifier.MatchString(m[1]) {
				continue // a path, or a file
			}
			passed++
			if !known[m[1]] {
				t.Errorf("DEVELOPERS.md, %q: there is no %s", strings.SplitN(walk, ":", 2)[0], m[1])
			}
		}
		if passed < 5 {
			t.Errorf("DEVELOPERS.md, %q: %d functions are no walk", strings.SplitN(walk, ":", 2)[0], passed)
		}
	}
}
