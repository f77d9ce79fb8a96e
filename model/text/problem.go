package text

import (
	"cmp"
	"slices"
	"strings"
)

// Severities of problems.
const (
	Error   = "error"
	Warning = "warning"
	Advice  = "advice"
)

// Problem is one mistake in a file.
type Problem struct {
	// Code names the kind of problem in a word or two that stay the same.
	Code     string `json:"code"`
	Severity string `json:"severity"`
	Place
	// Message says what was found and what is legal.
	Message string `json:"message"`
	// Hint says what to write instead; empty where the message says it all.
	Hint string `json:"hint"`
}

// String is the problem as compilers print it: file:line:column: message. The
// hint follows after a semicolon.
func (p Problem) String() string {
	text := p.Place.String() + ": "
	if p.Severity == Warning || p.Severity == Advice {
		text += p.Severity + ": "
	}
	text += p.Message
	if p.Hint != "" {
		text += "; " + p.Hint
	}
	return text
}

// Compare orders problems by place, then by what they say.
func (p Problem) Compare(q Problem) int {
	return cmp.Or(
		strings.Compare(p.File, q.File),
		cmp.Compare(p.Line, q.Line),
		cmp.Compare(p.Column, q.Column),
		strings.Compare(p.Code, q.Code),
		strings.Compare(p.Message, q.Message),
		strings.Compare(p.Hint, q.Hint),
	)
}

// Problems are all that is wrong with a file, sorted.
type Problems []Problem

// Error prints one problem a line.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, problem := range p {
		lines[i] = problem.String()
	}
	return strings.Join(lines, "\n")
}

// Errors says whether one of them is an error, so that what was read is not to
// be used.
func (p Problems) Errors() bool {
	return slices.ContainsFunc(p, func(q Problem) bool { return q.Severity == Error })
}

// sorted puts the problems in order and drops repetitions.
func (p Problems) sorted() Problems {
	slices.SortFunc(p, Problem.Compare)
	return slices.Compact(p)
}

// OnlyErrors are those that keep what was read from being used.
func (p Problems) OnlyErrors() Problems {
	var errors Problems
	for _, q := range p {
		if q.Severity == Error {
			errors = append(errors, q)
		}
	}
	return errors
}
