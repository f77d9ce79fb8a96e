package text

import (
	"strings"
	"unicode"

	"bayhand/model/phrase"
)

// YAML parts the items of brackets and braces at each comma, so that a list of
// numbers such as main/b1,2 falls apart where it stands inside them without
// quotes. No name begins with a digit; an item that does is such a remainder.

// wholeItems are the items of a list. Remainders are reported, with what to
// write instead, and left out together with what they were torn from.
func (r *reader) wholeItems(n *node) []*node {
	if n == nil || !n.flow {
		return n.all()
	}
	var whole []*node
	for i := 0; i < len(n.items); i++ {
		end := i + 1
		for n.items[i].plain() && end < len(n.items) && n.items[end].remainder() {
			end++
		}
		if end == i+1 {
			whole = append(whole, n.items[i])
			continue
		}
		var texts []string
		for _, item := range n.items[i:end] {
			texts = append(texts, item.text)
		}
		r.torn(n.items[i+1], strings.Join(texts, ","))
		i = end - 1
	}
	return whole
}

func (n *node) plain() bool { return n.shape == scalar && !n.quoted && n.text != "" }

func (n *node) remainder() bool { return n.plain() && n.text[0] >= '0' && n.text[0] <= '9' }

func (r *reader) torn(rest *node, whole string) {
	r.report(r.commaBefore(rest), "comma", phrase.Put(`write "{text}" with the quotes`, "text", whole),
		"a comma inside brackets begins a new item, so that %s stands alone", quoteText(rest.text))
}

// commaBefore is the place of the comma in front of a part.
func (r *reader) commaBefore(n *node) Place {
	line := r.src.line(n.place.Line)
	for c := min(n.place.Column-1, len(line)); c > 0; c-- {
		if line[c-1] == ',' {
			return r.src.place(n.place.Line, c)
		}
	}
	return n.place
}

// mendCommas reports and drops the entries of braces that a comma tore:
// {out1,3: pro-line} is read as out1 without a value, and 3.
func (r *reader) mendCommas(n *node) {
	var kept []entry
	for i, e := range n.entries {
		last := len(kept) - 1
		switch {
		case i == 0 || !e.key.remainder() || last < 0:
		case kept[last].value.empty() && r.followedByComma(kept[last].key):
			r.torn(e.key, kept[last].key.text+","+e.key.text)
			n.torn = true
			kept = kept[:last]
			continue
		case e.value.empty() && kept[last].value.plain() && !r.followedByColon(e.key):
			n.torn = true
			r.torn(e.key, kept[last].value.text+","+e.key.text)
			continue
		}
		kept = append(kept, e)
	}
	n.entries = kept
}

func (r *reader) followedByComma(n *node) bool { return r.next(n) == ',' }
func (r *reader) followedByColon(n *node) bool { return r.next(n) == ':' }

// next is the first character behind a plain scalar that is no space.
func (r *reader) next(n *node) rune {
	line := r.src.line(n.place.Line)
	for c := n.place.Column - 1 + len([]rune(n.text)); n.inner > 0 && c < len(line); c++ {
		if !unicode.IsSpace(line[c]) {
			return line[c]
		}
	}
	return 0
}
