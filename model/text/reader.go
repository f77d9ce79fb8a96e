package text

import (
	"fmt"

	"gopkg.in/yaml.v3"
)

// reader collects the problems and places of one file.
type reader struct {
	src      source
	problems Problems
	// more are mistakes that are only counted, from the place rest on.
	more   int
	rest   Place
	places Places
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

// report notes an error at a place. Beyond the first hundred they are counted; a file
// that is hopeless is read no further.
func (r *reader) report(place Place, code, hint, format string, args ...any) {
	if len(r.problems) < mostTold {
		r.problems = append(r.problems, Problem{
			Code: code, Severity: Error, Place: place, Message: fmt.Sprintf(format, args...), Hint: hint,
		})
		return
	}
	if r.more == 0 {
		r.rest = place
	}
	if r.more++; r.more > mostCounted {
		panic(bailout{})
	}
}

// mistakes are how many were found so far.
func (r *reader) mistakes() int { return len(r.problems) + r.more }

// told are the problems of the file, sorted, with how many more there are.
func (r *reader) told() Problems {
	all := r.problems
	switch {
	case r.more > mostCounted:
		all = append(all, Problem{Code: "size", Severity: Error, Place: r.rest,
			Message: fmt.Sprintf("and more than %s more mistakes; reading ended there", thousands(mostCounted))})
	case r.more > 0:
		all = append(all, Problem{Code: "size", Severity: Error, Place: r.rest,
			Message: fmt.Sprintf("and %s more from here on", thousands(r.more))})
	}
	return all.sorted()
}

// thousands is a number as people write it: 1,234.
func thousands(n int) string {
	if n < 1000 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%s,%03d", thousands(n/1000), n%1000)
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
