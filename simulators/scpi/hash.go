package scpi

import (
	"errors"
	"math"
	"strconv"
	"strings"
)

// hash reads what begins with a number sign: a number in another base or a
// block of arbitrary data.
func (s *scanner) hash() (datum, error) {
	s.at++
	b := s.peek()
	s.at++
	switch {
	case b == '0':
		// An indefinite-length block runs to the end of the message (7.7.6.2).
		text := s.text[min(s.at, len(s.text)):]
		s.at = len(s.text)
		return datum{block, text}, nil
	case isDigit(b):
		return s.block(int(b - '0'))
	case strings.IndexByte("HhQqBb", b) >= 0 && b != 0:
		from := s.at
		for !s.done() && isWord(s.text[s.at]) {
			s.at++
		}
		return datum{nonDecimal, string(b|0x20) + s.text[from:s.at]}, nil
	}
	s.at = min(s.at, len(s.text))
	return datum{}, fault{code: invalidCharacter}
}

// block reads a definite-length block after its first digit, which says how
// many digits the length has. A length padded with zeros is legal.
func (s *scanner) block(digits int) (datum, error) {
	if s.at+digits > len(s.text) {
		return datum{}, fault{code: invalidBlockData}
	}
	length, err := strconv.ParseUint(s.text[s.at:s.at+digits], 10, 31)
	from := s.at + digits
	if err != nil || from+int(length) > len(s.text) {
		return datum{}, fault{code: invalidBlockData}
	}
	s.at = from + int(length)
	return datum{block, s.text[from:s.at]}, nil
}

// integer reads numeric data, rounded to a whole number (IEEE 488.2, 7.7.2.4),
// that must lie from low to high.
func (d datum) integer(low, high int) (int, error) {
	var value float64
	switch d.kind {
	case decimal:
		// Beyond the range of a float it is infinite, and out of range below.
		value, _ = strconv.ParseFloat(d.text, 64)
	case nonDecimal:
		n, err := strconv.ParseUint(d.text[1:], radix[d.text[0]], 64)
		if err != nil && !errors.Is(err, strconv.ErrRange) {
			return 0, fault{code: numericDataError}
		}
		value = float64(n)
	default:
		return 0, fault{code: dataTypeError}
	}
	value = math.Round(value)
	if value < float64(low) || value > float64(high) {
		return 0, fault{code: dataOutOfRange}
	}
	return int(value), nil
}

var radix = map[byte]int{'h': 16, 'q': 8, 'b': 2}
