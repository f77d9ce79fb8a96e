package name

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Operator stands between the two sides of a pair.
type Operator string

// The operators of files, with what they join.
const (
	Into  Operator = "->" // a wire, a pass, a normal: the signal flows to the right
	All   Operator = "=>" // a pass from each on the left to all on the right
	Tied  Operator = "="  // a tie
	Cord  Operator = "-"  // a cord or a lead
	Cross Operator = "x"  // crosspoints of a matrix
)

// operators in the order in which they are looked for: the longer first.
var operators = []Operator{Into, All, Tied, Cross, Cord}

// Pair is two sides and what stands between them.
type Pair struct {
	Operator    Operator
	Left, Right Hop
}

// String writes the pair as files have it: a = b.
func (p Pair) String() string {
	return p.Left.Text + " " + string(p.Operator) + " " + p.Right.Text
}

// ParsePair reads two sides with one of the allowed operators between them.
// The error is an *Error.
func ParsePair(text string, allowed ...Operator) (Pair, error) {
	return parsePair(text, readHop, allowed)
}

// ParseOwnPair reads a pair whose sides are ports of one owner, written without
// its name: in1 => out1-2. The error is an *Error.
func ParseOwnPair(owner, text string, allowed ...Operator) (Pair, error) {
	read := func(text string, at int) (Hop, error) {
		if own, port, found := strings.Cut(text, "/"); found && own == owner {
			return Hop{}, errorAt(at, "%q stands here; ports of %s stand here without its name: %s", text, owner, port)
		}
		points, err := Ports(owner, text)
		if e, ok := err.(*Error); ok {
			return Hop{}, &Error{At: at + e.At, Message: e.Message}
		}
		return Hop{At: at, Text: text, Points: points}, nil
	}
	return parsePair(text, read, allowed)
}

func parsePair(text string, read func(text string, at int) (Hop, error), allowed []Operator) (Pair, error) {
	o, at := firstOperator(text)
	if at < 0 {
		return Pair{}, errorAt(0, "%q has no %s; write A %s B", text, either(allowed), allowed[0])
	}
	if !has(allowed, o) {
		return Pair{}, misplaced(text, o, at, allowed)
	}
	left, right := text[:at], text[at+len(o):]
	if next, again := firstOperator(right); again >= 0 {
		return Pair{}, errorAt(runes(text[:at+len(o)+again]), "a second %s stands here; write one line for each", next)
	}
	p := Pair{Operator: o}
	var err error
	if p.Left, err = side(left, 0, "before", o, read); err != nil {
		return Pair{}, err
	}
	p.Right, err = side(right, runes(text[:at+len(o)]), "after", o, read)
	return p, err
}

func side(text string, at int, where string, o Operator, read func(text string, at int) (Hop, error)) (Hop, error) {
	trimmed := strings.TrimLeftFunc(text, unicode.IsSpace)
	at += runes(text) - runes(trimmed)
	trimmed = strings.TrimRightFunc(trimmed, unicode.IsSpace)
	if trimmed == "" {
		return Hop{}, errorAt(at, "a name is missing %s the %s", where, o)
	}
	return read(trimmed, at)
}

// firstOperator finds the first operator and its byte offset; -1 if there is
// none. A hyphen and an x are operators only between spaces, since names hold
// them too.
func firstOperator(text string) (Operator, int) {
	for i := range text {
		for _, o := range operators {
			if strings.HasPrefix(text[i:], string(o)) && stands(o, text, i) {
				return o, i
			}
		}
	}
	return "", -1
}

// stands says whether an operator is one where it is found: a dash may be part of
// a name, and x a name of its own where nothing is before or behind it.
func stands(o Operator, text string, at int) bool {
	switch o {
	case Cord:
		return spaced(text, at, len(o))
	case Cross:
		blank := func(side string) bool { return strings.TrimSpace(side) == "" }
		return spaced(text, at, len(o)) && !blank(text[:at]) && !blank(text[at+len(o):])
	case Into, All, Tied:
	}
	return true
}

func spaced(text string, at, length int) bool {
	before, _ := utf8.DecodeLastRuneInString(text[:at])
	after, _ := utf8.DecodeRuneInString(text[at+length:])
	return (at == 0 || unicode.IsSpace(before)) && (at+length == len(text) || unicode.IsSpace(after))
}

// otherOperator is the error for a line whose first operator is not the one
// wanted; nil if it has none.
func otherOperator(text string, wanted Operator) error {
	if o, at := firstOperator(text); at >= 0 && o != wanted {
		return misplaced(text, o, at, []Operator{wanted})
	}
	return nil
}

func misplaced(text string, o Operator, at int, allowed []Operator) error {
	return errorAt(runes(text[:at]), "%s stands here; write %s between the two sides", o, either(allowed))
}

func either(allowed []Operator) string {
	words := make([]string, len(allowed))
	for i, o := range allowed {
		words[i] = string(o)
	}
	return strings.Join(words, " or ")
}

func has(allowed []Operator, o Operator) bool {
	for _, a := range allowed {
		if a == o {
			return true
		}
	}
	return false
}

func runes(text string) int { return utf8.RuneCountInString(text) }
