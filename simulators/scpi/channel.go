package scpi

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/simulators/matrix"
)

// Rows says which side of the matrix the rows of a channel list are, the number
// before the exclamation mark.
type Rows uint8

const (
	// RowsUnknown is the zero value; no switcher has it.
	RowsUnknown Rows = iota
	// RowsAreOutputs means output!input.
	RowsAreOutputs
	// RowsAreInputs means input!output.
	RowsAreInputs
)

func (r Rows) String() string {
	switch r {
	case RowsAreOutputs:
		return "outputs"
	case RowsAreInputs:
		return "inputs"
	case RowsUnknown:
	}
	return "unknown"
}

// RowsNamed is the inverse of String; RowsUnknown for a word that is none.
func RowsNamed(word string) Rows {
	for _, r := range []Rows{RowsAreOutputs, RowsAreInputs} {
		if r.String() == word {
			return r
		}
	}
	return RowsUnknown
}

// MaxChannels is the most channels of one list, ranges counted out. A longer
// list is refused with error -223, "Too much data".
const MaxChannels = 1 << 16

// spec is a channel as it is written: one number for each dimension.
type spec []int

// span is an item of a channel list: a channel, or a range with both ends.
type span struct{ from, to spec }

// parseChannels reads a channel list without giving its numbers a meaning:
// (@, items split by commas, and ). An item is a channel or a range of two
// channels with as many dimensions, joined by a colon (SCPI-1999, vol. 1,
// 8.3.2). White space inside is not in its syntax and is refused.
func parseChannels(text string) ([]span, error) {
	inside, ok := strings.CutPrefix(text, "(@")
	if !ok || !strings.HasSuffix(inside, ")") {
		return nil, fault{code: expressionError}
	}
	var spans []span
	for _, item := range strings.Split(strings.TrimSuffix(inside, ")"), ",") {
		from, to, ranged := strings.Cut(item, ":")
		if !ranged {
			to = from
		}
		first, err := parseSpec(from)
		if err != nil {
			return nil, err
		}
		last, err := parseSpec(to)
		if err != nil {
			return nil, err
		}
		if len(first) != len(last) {
			return nil, fault{code: expressionError}
		}
		spans = append(spans, span{first, last})
	}
	return spans, nil
}

// parseSpec reads a channel, such as 2!5. A number too large for an int is as
// large as an int can be, and outside any matrix.
func parseSpec(text string) (spec, error) {
	var s spec
	for _, digits := range strings.Split(text, "!") {
		if digits == "" {
			return nil, fault{code: expressionError}
		}
		for i := range len(digits) {
			if !isDigit(digits[i]) {
				return nil, fault{code: invalidExpression}
			}
		}
		n, _ := strconv.Atoi(digits)
		s = append(s, n)
	}
	return s, nil
}

// channelList reads a list of this switcher's channels.
func (s *Switcher) channelList(d datum) ([]matrix.Crosspoint, error) {
	if d.kind != expression {
		return nil, fault{code: dataTypeError}
	}
	return s.rows.Channels(d.text, s.matrix.Has)
}

// Channels reads a channel list such as (@1!2,3!1:4!2) of a matrix that has
// the crosspoints that has says, ranges counted out, in the order of the list.
// The error is worded as the standard's errors are, such as
// -222,"Data out of range".
func (r Rows) Channels(text string, has func(matrix.Crosspoint) bool) ([]matrix.Crosspoint, error) {
	spans, err := parseChannels(text)
	if err != nil {
		return nil, err
	}
	var list []matrix.Crosspoint
	for _, sp := range spans {
		if list, err = r.expand(list, sp, has); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// expand counts a range out, row by row, the last number running fastest. It
// is the rectangle that the two corners span, from the first corner to the last,
// upward or downward (SCPI-1999 vol. 1, 8.3.2).
func (r Rows) expand(list []matrix.Crosspoint, sp span, has func(matrix.Crosspoint) bool) ([]matrix.Crosspoint, error) {
	if len(sp.from) != 2 {
		return nil, fault{expressionError, "a channel of this matrix is row!column"}
	}
	if !has(r.crosspoint(sp.from[0], sp.from[1])) || !has(r.crosspoint(sp.to[0], sp.to[1])) {
		return nil, fault{code: dataOutOfRange}
	}
	rows, columns := max(sp.from[0], sp.to[0])-min(sp.from[0], sp.to[0])+1, max(sp.from[1], sp.to[1])-min(sp.from[1], sp.to[1])+1
	if rows > MaxChannels || columns > MaxChannels || len(list)+rows*columns > MaxChannels {
		return nil, fault{code: tooMuchData}
	}
	for _, row := range run(sp.from[0], sp.to[0]) {
		for _, column := range run(sp.from[1], sp.to[1]) {
			list = append(list, r.crosspoint(row, column))
		}
	}
	return list, nil
}

// run is every number from one to another, upward or downward.
func run(from, to int) []int {
	var numbers []int
	for n := min(from, to); n <= max(from, to); n++ {
		numbers = append(numbers, n)
	}
	if from > to {
		slices.Reverse(numbers)
	}
	return numbers
}

// List is the channel list of these crosspoints, by row and then by column,
// such as (@1!2,3!4), or (@) for none. It has no ranges.
func (r Rows) List(crosspoints []matrix.Crosspoint) string {
	sorted := slices.SortedFunc(slices.Values(crosspoints), func(a, b matrix.Crosspoint) int {
		rowA, columnA := r.rowColumn(a)
		rowB, columnB := r.rowColumn(b)
		return cmp.Or(cmp.Compare(rowA, rowB), cmp.Compare(columnA, columnB))
	})
	channels := make([]string, len(sorted))
	for i, c := range sorted {
		row, column := r.rowColumn(c)
		channels[i] = fmt.Sprintf("%d!%d", row, column)
	}
	return "(@" + strings.Join(channels, ",") + ")"
}

// crosspoint and rowColumn are inverse.
func (r Rows) crosspoint(row, column int) matrix.Crosspoint {
	if r == RowsAreInputs {
		row, column = column, row
	}
	return matrix.Crosspoint{Output: matrix.Output(row), Input: matrix.Input(column)}
}

func (r Rows) rowColumn(c matrix.Crosspoint) (row, column int) {
	if r == RowsAreInputs {
		return int(c.Input), int(c.Output)
	}
	return int(c.Output), int(c.Input)
}
