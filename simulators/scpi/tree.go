package scpi

import "strings"

// node is one keyword of the command tree (SCPI-1999, vol. 1, 6.2).
type node struct {
	// long and short are the two spellings, in upper case.
	long, short string
	// optional nodes may be left out of a header.
	optional bool
	children []*node
	// ask and do are what the header with and without a question mark means;
	// nil where it means nothing.
	ask, do *command
}

// shortForm is the short spelling of a keyword: its first four letters, or
// three where the fourth is a vowel; a keyword of up to four letters has one
// form only (SCPI-1999, vol. 1, 6.2.1).
func shortForm(keyword string) string {
	keyword = strings.ToUpper(keyword)
	if len(keyword) <= 4 {
		return keyword
	}
	if strings.IndexByte("AEIOU", keyword[3]) >= 0 {
		return keyword[:3]
	}
	return keyword[:4]
}

// add puts a command in the tree. A pattern is written as in the standard, such
// as SYSTem:ERRor[:NEXT]? or [ROUTe]:CLOSe, and which letters of it are upper
// case does not matter: the short form follows from the rule.
func (n *node) add(pattern string, c *command) {
	pattern, query := strings.CutSuffix(pattern, "?")
	at := n
	for _, part := range strings.Split(strings.ReplaceAll(pattern, "[:", ":["), ":") {
		keyword := strings.Trim(part, "[]")
		at = at.child(keyword, keyword != part)
	}
	if query {
		at.ask = c
		return
	}
	at.do = c
}

// child finds or makes the child for a keyword of a pattern.
func (n *node) child(keyword string, optional bool) *node {
	long := strings.ToUpper(keyword)
	for _, c := range n.children {
		if c.long == long {
			return c
		}
	}
	c := &node{long: long, short: shortForm(keyword), optional: optional}
	n.children = append(n.children, c)
	return c
}

// matches compares a mnemonic with both spellings, in any case. A number at
// its end is a suffix; there is one of everything here, and the suffix left out
// means 1 (SCPI-1999, vol. 1, 6.2.5.2; from memory).
func (n *node) matches(mnemonic string) (matched, suffixFits bool) {
	mnemonic = strings.ToUpper(mnemonic)
	stem := strings.TrimRight(mnemonic, "0123456789")
	if stem != n.long && stem != n.short {
		return false, false
	}
	suffix := mnemonic[len(stem):]
	return true, suffix == "" || suffix == "1"
}

// step finds the child that a mnemonic names, through optional nodes that were
// left out where needed; nil if there is none.
func (n *node) step(mnemonic string) (*node, error) {
	for _, c := range n.children {
		if matched, fits := c.matches(mnemonic); matched {
			if !fits {
				return nil, fault{headerSuffixOutside, mnemonic}
			}
			return c, nil
		}
	}
	for _, c := range n.children {
		if c.optional {
			if found, err := c.step(mnemonic); found != nil || err != nil {
				return found, err
			}
		}
	}
	return nil, nil
}

// command is what the node means with or without the question mark; optional
// nodes at the end may have been left out. nil if it means nothing.
func (n *node) command(query bool) *command {
	c := n.do
	if query {
		c = n.ask
	}
	if c != nil {
		return c
	}
	for _, child := range n.children {
		if child.optional {
			if c := child.command(query); c != nil {
				return c
			}
		}
	}
	return nil
}

// walk follows a header's mnemonics from a node. It gives the node at the end
// and the one before the last mnemonic, where the next header without a colon
// begins (SCPI-1999, vol. 1, 6.2.4).
func (n *node) walk(path []string) (end, level *node, err error) {
	end = n
	for _, mnemonic := range path {
		level = end
		if end, err = end.step(mnemonic); end == nil {
			return nil, nil, err
		}
	}
	return end, level, nil
}
