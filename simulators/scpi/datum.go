package scpi

import (
	"strconv"
	"strings"
)

// datum is one element of program data (IEEE 488.2, 7.7).
type datum struct {
	kind dataKind
	// text is the element as it was sent, without quotes or a block's header.
	text string
}

type dataKind uint8

const (
	dataUnknown dataKind = iota
	decimal              // 7.7.2
	nonDecimal           // 7.7.4: #H20, #Q20, #B11
	word                 // 7.7.1: character data
	quoted               // 7.7.5: string data
	block                // 7.7.6
	expression           // 7.7.7: with its parentheses
)

// arguments reads the data of a unit, up to the semicolon or the end.
func (s *scanner) arguments() ([]datum, error) {
	var data []datum
	s.space()
	if s.done() || s.peek() == ';' {
		return nil, nil
	}
	for {
		s.space()
		d, err := s.datum()
		if err != nil {
			return nil, err
		}
		data = append(data, d)
		s.space()
		switch {
		case s.done() || s.peek() == ';':
			return data, nil
		case s.peek() == ',':
			s.at++
		case d.kind == decimal && isLetter(s.peek()):
			return nil, fault{code: suffixNotAllowed}
		default:
			// As in *EMC 1:CH1:VOLTS 5, where a semicolon was left out.
			return nil, fault{code: invalidSeparator}
		}
	}
}

func (s *scanner) datum() (datum, error) {
	switch b := s.peek(); {
	case s.done() || b == ',' || b == ';':
		return datum{}, fault{code: syntaxError}
	case isDigit(b) || b == '+' || b == '-' || b == '.':
		return s.number()
	case isLetter(b):
		return s.word()
	case b == '"' || b == '\'':
		return s.quoted()
	case b == '(':
		return s.expression()
	case b == '#':
		return s.hash()
	}
	return datum{}, fault{code: invalidCharacter}
}

const (
	maxExponent = 32000 // IEEE 488.2, 7.7.2.4.1
	maxDigits   = 255
)

// number reads decimal numeric data, such as 32, -1.5 or 1.2e-1.
func (s *scanner) number() (datum, error) {
	from := s.at
	s.sign()
	whole := s.digits()
	fraction := 0
	if s.peek() == '.' {
		s.at++
		fraction = s.digits()
	}
	if whole+fraction == 0 {
		return datum{}, fault{code: numericDataError}
	}
	if whole+fraction > maxDigits {
		return datum{}, fault{code: tooManyDigits}
	}
	mantissa := s.text[from:s.at]
	exponent, err := s.exponent()
	return datum{decimal, mantissa + exponent}, err
}

// exponent reads the exponent of a number if there is one; white space may
// stand on both sides of its letter.
func (s *scanner) exponent() (string, error) {
	mark := s.at
	s.space()
	if s.peek()|0x20 != 'e' {
		s.at = mark
		return "", nil
	}
	s.at++
	s.space()
	from := s.at
	s.sign()
	if s.digits() == 0 {
		return "", fault{code: numericDataError}
	}
	text := s.text[from:s.at]
	if n, err := strconv.Atoi(text); err != nil || n > maxExponent || n < -maxExponent {
		return "", fault{code: exponentTooLarge}
	}
	return "e" + text, nil
}

func (s *scanner) sign() {
	if b := s.peek(); b == '+' || b == '-' {
		s.at++
	}
}

func (s *scanner) digits() int {
	from := s.at
	for isDigit(s.peek()) {
		s.at++
	}
	return s.at - from
}

func (s *scanner) word() (datum, error) {
	from := s.at
	for !s.done() && isWord(s.text[s.at]) {
		s.at++
	}
	if s.at-from > maxMnemonic {
		return datum{}, fault{code: characterDataTooLong}
	}
	return datum{word, s.text[from:s.at]}, nil
}

// quoted reads string data; a doubled quotation mark stands for one.
func (s *scanner) quoted() (datum, error) {
	mark := s.peek()
	s.at++
	var text strings.Builder
	for !s.done() {
		b := s.text[s.at]
		s.at++
		if b == mark {
			if s.peek() != mark || s.done() {
				return datum{quoted, text.String()}, nil
			}
			s.at++
		}
		text.WriteByte(b)
	}
	return datum{}, fault{code: invalidStringData}
}

// expression reads up to the parenthesis that closes the first one; those
// inside strings do not count.
func (s *scanner) expression() (datum, error) {
	from, depth := s.at, 0
	for !s.done() {
		switch s.text[s.at] {
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				s.at++
				return datum{expression, s.text[from:s.at]}, nil
			}
		case '"', '\'':
			if _, err := s.quoted(); err != nil {
				return datum{}, err
			}
			continue
		case ';':
			return datum{}, fault{code: invalidExpression}
		}
		s.at++
	}
	return datum{}, fault{code: invalidExpression}
}
