package text

import (
	"fmt"

	"gopkg.in/yaml.v3"
)

// reader collects the problems and places of one file.
type reader struct {
	src      source
	problems Problems
	places   Places
	// spent counts the points that ranges stood for.
	spent int
}

// bailout ends the reading of a file; why was reported.
type bailout struct{}

// attempt calls what reads a file, and comes back from a bailout.
func (r *reader) attempt(do func()) {
	defer func() {
		if e := recover(); e != nil {
			if _, ok := e.(bailout); !ok {
				panic(e)
			}
		}
	}()
	do()
}

// spend counts points before they are made, so that a short text cannot stand
// for more than a machine holds.
func (r *reader) spend(n *node, points int) {
	if r.spent += points; r.spent > maxPoints {
		r.fault(n, "size", "", "names and ranges stand for more than %d points up to here; that is no studio", maxPoints)
		panic(bailout{})
	}
}

// open reads the file as YAML. The node is nil where there is nothing to read
// on; then a problem says why.
func open(file string, src []byte) (*reader, *node) {
	r := &reader{places: Places{at: map[string]Place{"": {File: file, Line: 1, Column: 1}}}}
	if r.problems = scan(file, src); r.problems != nil {
		return r, nil
	}
	r.src = newSource(file, src)
	root, problems := parse(r.src, src)
	r.problems = append(r.problems, problems...)
	if root == nil {
		if problems == nil {
			r.report(Place{File: file, Line: 1, Column: 1}, "empty", "", "the file holds nothing")
		}
		return r, nil
	}
	if root.Kind == yaml.ScalarNode && root.Value == "" && root.Style == 0 {
		r.report(Place{File: file, Line: 1, Column: 1}, "empty", "", "the file holds nothing")
		return r, nil
	}
	g := &grower{reader: r, open: map[*yaml.Node]bool{}}
	var n *node
	r.attempt(func() { n = g.grow(root, "", 0) })
	if g.stopped {
		return r, nil
	}
	return r, n
}

// report notes an error at a place.
func (r *reader) report(place Place, code, hint, format string, args ...any) {
	if len(r.problems) == maxProblems {
		r.problems = append(r.problems, Problem{Code: "size", Severity: Error, Place: place,
			Message: fmt.Sprintf("the file has more than %d mistakes; reading ended here", maxProblems)})
		panic(bailout{})
	}
	r.problems = append(r.problems, Problem{
		Code: code, Severity: Error, Place: place, Message: fmt.Sprintf(format, args...), Hint: hint,
	})
}

// fault notes an error at a part of the file.
func (r *reader) fault(n *node, code, hint, format string, args ...any) {
	r.report(n.place, code, hint, format, args...)
}

// faultIn notes an error at a character inside the text of a scalar, or at its
// start where that cannot be told.
func (r *reader) faultIn(n *node, at int, code, hint, format string, args ...any) {
	r.report(n.inside(at), code, hint, format, args...)
}

// inside is the place of a character of the text, counted from 0.
func (n *node) inside(at int) Place {
	place := n.place
	if n.inner > 0 {
		place.Column = n.inner + at
	}
	return place
}
