package cmd_test

import (
	"go/ast"
	"os"
	"path/filepath"
	"regexp"
	"slices"
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

// passes are the names that a walk passes, in its order.
func passes(walk string) (all []string) {
	for _, m := range quoted.FindAllStringSubmatch(walk, -1) {
		if identifier.MatchString(m[1]) {
			all = append(all, m[1])
		}
	}
	return all
}

// handedOver are functions of a walk that nothing before them calls, with what brings the
// matter there.
var handedOver = map[string]string{
	"Keeper.Look":      "the daemon gives it to watch.Run",
	"Keeper.Run":       "it takes what others send to its channels",
	"planner.Make":     "the daemon gives it to the keeper, as Config.Plan",
	"page.showChanges": "a browser asks for it by HTTP",
	"api.act":          "the client asks for it by HTTP",
	"Keeper.put":       "the loop does what the machine left among its effects",
}

// What flows passes a function once, and each function of a walk is called by one before
// it, a few calls in between, unless it stands among handedOver. A name that is no
// function, such as a fact or a channel, is named in one of those.
func TestWalksGoFromFunctionToFunction(t *testing.T) {
	const calls = 3
	c := readCalling(t)
	used := map[string]bool{}
	for _, walk := range walks(t) {
		called, names := strings.SplitN(walk, ":", 2)[0], passes(walk)
		var before []*routine
		seen := map[string]bool{}
		for i, name := range names {
			if seen[name] {
				t.Errorf("DEVELOPERS.md, %q passes %s twice", called, name)
			}
			seen[name] = true
			here := c.named(name)
			if i > 0 && !c.leadsTo(before, here, name, calls) {
				if used[name] = true; handedOver[name] == "" {
					t.Errorf("DEVELOPERS.md, %q: nothing that stands before %s calls it", called, name)
				}
			}
			before = append(before, here...)
		}
	}
	for name := range handedOver {
		if !used[name] {
			t.Errorf("%s is called by what stands before it in each walk: take it out of the list", name)
		}
	}
}

// leadsTo says whether one of the functions is called from those before within so many
// calls; a name that is no function is mentioned there.
func (c *calling) leadsTo(before, here []*routine, name string, calls int) bool {
	word := name[strings.LastIndex(name, ".")+1:]
	for r := range c.within(before, calls-1) {
		if r.words[word] && (len(here) == 0 || c.types[word]) {
			return true
		}
		if slices.ContainsFunc(c.mayCall(r), func(to *routine) bool { return slices.Contains(here, to) }) {
			return true
		}
	}
	return false
}
