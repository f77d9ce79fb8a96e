package scpi

import "strings"

// unit is one program message unit: a header and its data.
type unit struct {
	// common is true for a header that begins with an asterisk.
	common bool
	// rooted is true for a header that begins with a colon.
	rooted bool
	// path holds the header's mnemonics as they were sent.
	path  []string
	query bool
	data  []datum
}

// header is the header as it was sent.
func (u unit) header() string {
	text := strings.Join(u.path, ":")
	if u.common {
		text = "*" + text
	}
	if u.query {
		text += "?"
	}
	return text
}

// maxMnemonic is the longest mnemonic (IEEE 488.2, 7.6.1.4.1).
const maxMnemonic = 12

// scanner reads the units of one program message.
type scanner struct {
	text string
	at   int
}

// next reads the next unit. It is false at the end; units without a header, as
// between two semicolons, are passed over.
func (s *scanner) next() (unit, bool, error) {
	for s.space(); s.peek() == ';'; s.space() {
		s.at++
	}
	if s.done() {
		return unit{}, false, nil
	}
	u, err := s.head()
	if err != nil {
		return unit{}, false, err
	}
	if u.data, err = s.arguments(); err != nil {
		return unit{}, false, err
	}
	return u, true, nil
}

func (s *scanner) done() bool { return s.at >= len(s.text) }

// peek is the next byte, 0 at the end. A NUL that was sent is white space and
// is passed over like any other.
func (s *scanner) peek() byte {
	if s.done() {
		return 0
	}
	return s.text[s.at]
}

// space passes over white space and says whether there was any: the control
// characters but line feed, and the blank (IEEE 488.2, 7.4.1.2).
func (s *scanner) space() bool {
	from := s.at
	for !s.done() && isSpace(s.text[s.at]) {
		s.at++
	}
	return s.at > from
}

func isSpace(b byte) bool  { return b <= ' ' && b != terminator }
func isLetter(b byte) bool { return b|0x20 >= 'a' && b|0x20 <= 'z' }
func isDigit(b byte) bool  { return b >= '0' && b <= '9' }

// head reads a header and what must come after it: white space, a semicolon or
// the end.
func (s *scanner) head() (unit, error) {
	var u unit
	switch s.peek() {
	case '*':
		u.common = true
		s.at++
	case ':':
		u.rooted = true
		s.at++
	}
	for {
		word, err := s.mnemonic()
		if err != nil {
			return unit{}, err
		}
		u.path = append(u.path, word)
		if u.common || s.peek() != ':' {
			break
		}
		s.at++
	}
	if s.peek() == '?' {
		u.query = true
		s.at++
	}
	return u, s.headEnd(u)
}

func (s *scanner) headEnd(u unit) error {
	switch b := s.peek(); {
	case s.done(), b == ';', isSpace(b):
		return nil
	case b == ',', b == ':', b == '?':
		return fault{invalidSeparator, u.header()}
	case b == '"', b == '\'', b == '(', b == '#', b == '+', b == '-', b == '.', b == '*':
		// Data that begins without white space, as in *GMC"MACRO".
		return fault{headerSeparatorError, u.header()}
	}
	return fault{invalidCharacter, u.header()}
}

// mnemonic reads a letter followed by letters, digits and underscores
// (IEEE 488.2, 7.6.1.2).
func (s *scanner) mnemonic() (string, error) {
	from := s.at
	if b := s.peek(); !isLetter(b) {
		if s.done() || strings.IndexByte(":;?*,", b) >= 0 || isDigit(b) || isSpace(b) {
			return "", fault{code: syntaxError}
		}
		return "", fault{code: invalidCharacter}
	}
	for !s.done() && isWord(s.text[s.at]) {
		s.at++
	}
	word := s.text[from:s.at]
	if len(word) > maxMnemonic {
		return "", fault{mnemonicTooLong, word}
	}
	return word, nil
}

func isWord(b byte) bool { return isLetter(b) || isDigit(b) || b == '_' }
