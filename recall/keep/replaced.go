package keep

import (
	"fmt"
	"slices"

	"bayhand/model/phrase"
)

// A device that says who it is can be told from another one at the same link. What
// the other holds is nothing of the matrix, and switching it could switch anything.
// So it is not driven, and counts as one that does not answer, until a person says
// that it is the right one.

// expected is what the device of a matrix says of itself; empty where none has said
// anything yet.
func (m Memory) expected(matrix string) string {
	i := slices.IndexFunc(m.Expected, func(e Expected) bool { return e.Matrix == matrix })
	if i < 0 {
		return ""
	}
	return m.Expected[i].Identity
}

// meet remembers what the first device of a matrix says of itself.
func (m *Memory) meet(matrix, identity string, fact Fact) {
	if identity != "" && m.expected(matrix) == "" {
		m.expect(matrix, identity, fact)
	}
}

// expect makes a device that says this of itself the one that is driven.
func (m *Memory) expect(matrix, identity string, fact Fact) {
	others := slices.DeleteFunc(slices.Clone(m.Expected), func(e Expected) bool { return e.Matrix == matrix })
	m.Expected = append(others, Expected{matrix, identity, fact})
}

// isOther says whether what a device says of itself is another device. One that does
// not say who it is where the one before did is another.
func (x exchange) isOther(identity string) bool {
	expected := x.memory.expected(x.h.matrix.Name)
	return expected != "" && identity != expected
}

// otherAnswers notes that another device answers at the link of a matrix.
func (x exchange) otherAnswers(r result) {
	if x.h.other == nil || x.h.other.identity != r.identity {
		x.h.since = x.at
		x.h.problem = fmt.Sprintf("another device answers there, which says %s; %s is expected", quoted(r.identity), quoted(x.memory.expected(x.h.matrix.Name)))
		m, _ := x.doubted()
		x.learn(m, Event{Kind: Trouble, Matrix: x.h.matrix.Name, Gone: true, Text: x.h.problem})
	}
	x.h.answers, x.h.other = false, &r
	x.h.failures++
}

func quoted(identity string) string {
	if identity == "" {
		return "nothing of itself"
	}
	return fmt.Sprintf("%q", identity)
}

// replaced takes a person's word that the other device at the link of a matrix is
// the right one.
func (x exchange) replaced() error {
	matrix := x.h.matrix.Name
	if x.h.other == nil {
		return tell(ErrConflict, "no other device answers at %s than the one that is driven as %s", x.h.matrix.Device.Link, matrix)
	}
	m := x.memory
	m.expect(matrix, x.h.other.identity, x.fact(Told))
	x.save(m, Event{Kind: PersonDid, Matrix: matrix, Text: phrase.Put("the device was replaced by the one that says {identity}", "identity", quoted(x.h.other.identity))})
	x.answers(*x.h.other, true)
	x.rest()
	return nil
}

// otherProblem is what is said while another device answers.
func (v view) otherProblem(h device) Problem {
	return Problem{Code: "another-device", Severity: "error", Since: h.since, Remedies: []Act{{Do: Replaced, Matrix: h.matrix.Name}},
		Message: fmt.Sprintf("at %s another device answers than the one that is driven as %s: it says %s, and %s is expected; "+
			"nothing is sent to it until somebody says that it is the right one", h.matrix.Device.Link, called(h.matrix),
			quoted(h.other.identity), quoted(v.k.memory.expected(h.matrix.Name)))}
}
