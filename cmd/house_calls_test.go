package cmd_test

import (
	"go/ast"
	"path/filepath"
	"strings"
	"testing"
)

// routine is a function or method with what its body names.
type routine struct {
	room, within, name string // folder, the receiver's type, own name
	calls              map[mention]bool
	words              map[string]bool // all names in the body
	to                 []*routine      // whom it may call, once that was asked
}

// mention is a name in a body: alone (free), of a package of the project (room), or of
// a value whose type is not looked into.
type mention struct {
	name, room string
	free       bool
}

// calling knows who may call whom, by names and imports. It is wider than the truth: of a
// value, every method of that name counts that the file could know.
type calling struct {
	byName   map[string][]*routine
	imported map[string]map[string]bool // room to the rooms that its files import
	abstract map[string]bool            // room.method of an interface declared there
	types    map[string]bool
}

func readCalling(t *testing.T) *calling {
	t.Helper()
	c := &calling{byName: map[string][]*routine{}, imported: map[string]map[string]bool{}, abstract: map[string]bool{}, types: map[string]bool{}}
	for _, s := range sources(t) {
		if c.imported[s.room] == nil {
			c.imported[s.room] = map[string]bool{s.room: true}
		}
		packages := map[string]string{}
		for _, path := range imports(s) {
			if room, ours := strings.CutPrefix(path, module); ours {
				c.imported[s.room][room] = true
				packages[filepath.Base(room)] = room
			}
		}
		for _, d := range s.file.Decls {
			for _, r := range routinesOf(s.room, d, packages) {
				c.byName[r.name] = append(c.byName[r.name], r)
			}
		}
		c.addTypes(s)
	}
	return c
}

// addTypes adds what a file declares, and the methods of its interfaces.
func (c *calling) addTypes(s source) {
	ast.Inspect(s.file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.TypeSpec:
			c.types[n.Name.Name] = true
		case *ast.InterfaceType:
			for _, m := range n.Methods.List {
				for _, name := range m.Names {
					c.abstract[s.room+"."+name.Name] = true
				}
			}
		}
		return true
	})
}

// routinesOf are the functions of a declaration. A variable with a value counts as one,
// since it may be a table of functions.
func routinesOf(room string, d ast.Decl, packages map[string]string) (all []*routine) {
	add := func(name, within string, body ast.Node) {
		r := &routine{room: room, within: within, name: name, calls: map[mention]bool{}, words: map[string]bool{}}
		ast.Inspect(body, func(n ast.Node) bool { return r.mentions(n, packages) })
		all = append(all, r)
	}
	switch d := d.(type) {
	case *ast.FuncDecl:
		within := ""
		if d.Recv != nil {
			within = typeName(d.Recv.List[0].Type)
		}
		if d.Body != nil {
			add(d.Name.Name, within, d.Body)
		}
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			if v, ok := spec.(*ast.ValueSpec); ok && len(v.Values) == len(v.Names) {
				for i, name := range v.Names {
					add(name.Name, "", v.Values[i])
				}
			}
		}
	}
	return all
}

func (r *routine) mentions(n ast.Node, packages map[string]string) bool {
	switch n := n.(type) {
	case *ast.SelectorExpr:
		of := mention{name: n.Sel.Name}
		if x, ok := n.X.(*ast.Ident); ok {
			of.room = packages[x.Name]
		}
		r.calls[of], r.words[n.Sel.Name] = true, true
	case *ast.Ident:
		r.calls[mention{name: n.Name, free: true}], r.words[n.Name] = true, true
	}
	return true
}

// mayCall are the functions that the body of one may call.
func (c *calling) mayCall(r *routine) []*routine {
	if r.to != nil {
		return r.to
	}
	r.to = []*routine{}
	for m := range r.calls {
		for _, to := range c.byName[m.name] {
			if c.may(r, m, to) {
				r.to = append(r.to, to)
			}
		}
	}
	return r.to
}

func (c *calling) may(r *routine, m mention, to *routine) bool {
	switch {
	case m.room != "":
		return to.room == m.room && to.within == ""
	case m.free:
		return to.room == r.room && to.within == ""
	}
	return to.within != "" && (c.imported[r.room][to.room] || c.abstract[r.room+"."+m.name])
}

// named are the functions that a walk may mean by a name: alone, or behind a package or
// type.
func (c *calling) named(text string) (all []*routine) {
	before, name, dotted := strings.Cut(text, ".")
	if !dotted {
		name = text
	}
	for _, r := range c.byName[name] {
		if !dotted || before == r.within || before == filepath.Base(r.room) {
			all = append(all, r)
		}
	}
	return all
}

// within are the functions that are at most so many calls away from some.
func (c *calling) within(from []*routine, calls int) map[*routine]bool {
	reached := map[*routine]bool{}
	for _, r := range from {
		reached[r] = true
	}
	for edge := from; calls > 0 && len(edge) > 0; calls-- {
		var next []*routine
		for _, r := range edge {
			for _, to := range c.mayCall(r) {
				if !reached[to] {
					reached[to] = true
					next = append(next, to)
				}
			}
		}
		edge = next
	}
	return reached
}
