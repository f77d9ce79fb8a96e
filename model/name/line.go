package name

import (
	"strings"
	"unicode"
)

// Hop is one stop of a chain, or one side of a pair: some points in one word,
// such as interface/out1-8 or squeeze/1.
type Hop struct {
	// At counts characters from the start of the line to the hop.
	At int
	// Text is the hop as written.
	Text   string
	Points []Point
}

// Chain is a way through hops, in the direction of the signal. Where Split is
// not empty the last hop goes to the start of each of its chains.
type Chain struct {
	Hops  []Hop
	Split []Chain
}

// String writes the chain as files have it: a -> b -> [c, d -> e].
func (c Chain) String() string {
	var words []string
	for _, h := range c.Hops {
		words = append(words, h.Text)
	}
	if len(c.Split) > 0 {
		var branches []string
		for _, b := range c.Split {
			branches = append(branches, b.String())
		}
		words = append(words, "["+strings.Join(branches, ", ")+"]")
	}
	return strings.Join(words, " -> ")
}

// MaxSplits bounds how deep brackets may stand inside brackets in a chain.
const MaxSplits = 16

// ParseChain reads a chain such as a -> b -> [c, d -> e] of at least two hops.
// The error is an *Error.
func ParseChain(text string) (Chain, error) {
	if err := otherOperator(text, Into); err != nil {
		return Chain{}, err
	}
	s := &scanner{text: []rune(text)}
	chain, err := s.chain(0)
	if err != nil {
		return Chain{}, err
	}
	if s.at < len(s.text) {
		return Chain{}, s.leftOver()
	}
	if len(chain.Hops) < 2 && len(chain.Split) == 0 {
		return Chain{}, errorAt(0, "%q goes nowhere; write source -> destination", text)
	}
	return chain, nil
}

// scanner walks through a line by characters.
type scanner struct {
	text []rune
	at   int
}

func (s *scanner) skipSpace() {
	for s.at < len(s.text) && unicode.IsSpace(s.text[s.at]) {
		s.at++
	}
}

func (s *scanner) ahead(word string) bool {
	return strings.HasPrefix(string(s.text[s.at:min(len(s.text), s.at+len(word))]), word)
}

func (s *scanner) chain(depth int) (Chain, error) {
	var chain Chain
	for {
		s.skipSpace()
		if s.ahead("[") && len(chain.Hops) > 0 {
			split, err := s.split(depth + 1)
			chain.Split = split
			return chain, err
		}
		hop, err := s.hop(depth)
		if err != nil {
			return chain, err
		}
		chain.Hops = append(chain.Hops, hop)
		if !s.ahead("->") {
			return chain, nil
		}
		s.at += len("->")
	}
}

func (s *scanner) split(depth int) ([]Chain, error) {
	if depth > MaxSplits {
		return nil, errorAt(s.at, "brackets stand more than %d deep here", MaxSplits)
	}
	opened := s.at
	var chains []Chain
	for {
		s.at++ // the bracket or the comma
		chain, err := s.chain(depth)
		if err != nil {
			return nil, err
		}
		chains = append(chains, chain)
		s.skipSpace()
		switch {
		case s.ahead(","):
			continue
		case s.ahead("]"):
			s.at++
			s.skipSpace()
			if s.ahead("->") {
				return nil, errorAt(s.at, "a split ends its line; write what follows inside the brackets")
			}
			return chains, nil
		}
		return nil, errorAt(opened, "the bracket that opens here is never closed")
	}
}

func (s *scanner) hop(depth int) (Hop, error) {
	start := s.at
	for s.at < len(s.text) && !s.hopEnds(depth) {
		s.at++
	}
	text := strings.TrimRightFunc(string(s.text[start:s.at]), unicode.IsSpace)
	if text == "" {
		return Hop{}, s.missing(start)
	}
	return readHop(text, start)
}

// hopEnds: inside brackets a comma parts the branches, but a comma with a digit
// right behind it goes on with a list (squeeze/in1,3).
func (s *scanner) hopEnds(depth int) bool {
	switch s.text[s.at] {
	case '[', ']':
		return true
	case ',':
		listed := s.at+1 < len(s.text) && s.text[s.at+1] >= '0' && s.text[s.at+1] <= '9'
		return depth > 0 && !listed
	}
	return s.ahead("->")
}

func (s *scanner) missing(at int) error {
	switch {
	case s.ahead("["):
		return errorAt(at, "brackets come after a -> only; write source -> [destination, destination]")
	case at >= len(s.text):
		return errorAt(at, "a name is missing at the end of the line")
	}
	return errorAt(at, "a name is missing before the %q", string(s.text[s.at]))
}

func (s *scanner) leftOver() error {
	if s.text[s.at] == '[' {
		return errorAt(s.at, "an arrow is missing before the bracket; write -> [")
	}
	return errorAt(s.at, "%q closes nothing", string(s.text[s.at]))
}

func readHop(text string, at int) (Hop, error) {
	points, err := List(text)
	if e, ok := err.(*Error); ok {
		return Hop{}, &Error{At: at + e.At, Message: e.Message}
	}
	return Hop{At: at, Text: text, Points: points}, nil
}
