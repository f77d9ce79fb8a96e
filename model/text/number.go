package text

import (
	"strconv"
)

// numberOf reads a whole number from from to to, written in decimal digits
// without a sign for plus and without leading zeros.
func (r *reader) numberOf(n *node, from, to int) (int, bool) {
	number, err := strconv.Atoi(n.text)
	switch {
	case n.shape != scalar:
		r.fault(n, "shape", "", "%s stands here where a number from %d to %d is wanted", n.shape, from, to)
	case err != nil || strconv.Itoa(number) != n.text:
		r.fault(n, "number", "", "%s stands here; a whole number from %d to %d is wanted", quoteText(n.text), from, to)
	case number < from || number > to:
		r.fault(n, "number", "", "the number %d stands here; from %d to %d is legal", number, from, to)
	default:
		return number, true
	}
	return 0, false
}
