package text

import (
	"slices"
	"strings"

	"bayhand/model/phrase"
)

// values are the fields of one mapping that passed its table.
type values struct {
	*reader
	table Table
	node  *node
	of    map[string]*node
}

// fields checks a mapping against its table: unknown keys, missing keys and
// wrong shapes are reported, and what is left can be
// asked for. A nil node has no fields and no problems.
func (r *reader) fields(n *node, t Table) values {
	v := values{reader: r, table: t, node: n, of: map[string]*node{}}
	if n == nil {
		return v
	}
	if n.shape != mapping {
		if !n.empty() || t.required() != nil {
			r.wrongShape(n, t)
		}
		return v
	}
	for _, e := range n.entries {
		v.take(e)
	}
	for _, f := range t.required() {
		if _, ok := v.of[f.Key]; !ok && n.field(f.Key) == nil {
			r.report(r.placeOf(n), "missing", form(f), "%s needs the key %s", t.Name, f.Key)
		}
	}
	return v
}

func (t Table) required() []Field {
	var required []Field
	for _, f := range t.Fields {
		if f.Required {
			required = append(required, f)
		}
	}
	return required
}

func form(f Field) string {
	if f.Form == "" {
		return ""
	}
	return phrase.Put("write {key}: {form}", "key", f.Key, "form", f.Form)
}

// placeOf is where the part is named: at its key, if it has one.
func (r *reader) placeOf(n *node) Place {
	if place, ok := r.places.at[n.key]; ok && n.key != "" && place.File == n.place.File {
		return place
	}
	return n.place
}

func (r *reader) wrongShape(n *node, t Table) {
	found := n.shape.String()
	if n.shape == scalar {
		found = quoteText(n.text)
	}
	r.fault(n, "shape", "", "%s stands here; %s is a mapping with the keys %s", found, t.Name, oneOf(t.Keys()))
}

func (v values) take(e entry) {
	f, known := v.table.Field(e.key.text)
	switch {
	case !known:
		v.fault(e.key, "unknown-key", maybe(e.key.text, v.table.Keys()), "%s has no key %s; it has %s", v.table.Name, quoteText(e.key.text), oneOf(v.table.Keys()))
	case e.value.empty() && slices.Contains(f.Kind.shapes(), scalar):
		v.report(v.placeOf(e.value), "empty", form(f), "nothing is written after %s", f.Key)
	case e.value.empty(): // a list or mapping without anything in it
	case !slices.Contains(f.Kind.shapes(), e.value.shape):
		v.refuseShape(f, e.value)
	default:
		v.of[f.Key] = e.value
	}
}

func (v values) refuseShape(f Field, n *node) {
	found := n.shape.String()
	if n.shape == scalar {
		found = quoteText(n.text)
	}
	v.fault(n, "shape", form(f), "%s stands here; %s is %s", found, f.Key, f.Kind)
}

// has says whether the file has the field.
func (v values) has(key string) bool { return v.of[key] != nil }

func (v values) text(key string) string {
	if n := v.of[key]; n != nil {
		return n.text
	}
	return ""
}

// word is one of the words of the field; empty where it is missing or wrong.
func (v values) word(key string) string {
	n := v.of[key]
	if n == nil {
		return ""
	}
	f, _ := v.table.Field(key)
	return v.wordOf(n, f.Words)
}

func (r *reader) wordOf(n *node, words []string) string {
	if slices.Contains(words, n.text) {
		return n.text
	}
	r.fault(n, "word", maybe(n.text, words), "%s stands here; legal are %s", quoteText(n.text), oneOf(words))
	return ""
}

func (v values) flag(key string, otherwise bool) bool { return v.flagOr(key, otherwise, nil) }

// flagOr is a flag of a field that has other words beside true and false, which
// the caller has looked for.
func (v values) flagOr(key string, otherwise bool, others []string) bool {
	n := v.of[key]
	if n == nil {
		return otherwise
	}
	if meant := map[string]string{"yes": "true", "on": "true", "no": "false", "off": "false"}[n.text]; meant != "" {
		v.fault(n, "word", phrase.Put("write {word}", "word", meant), "%s stands here; legal are %s", quoteText(n.text), oneOf(append([]string{"true", "false"}, others...)))
		return otherwise
	}
	word := v.wordOf(n, append([]string{"true", "false"}, others...))
	return word == "true" || word == "" && otherwise
}

// number is the whole number of a field; otherwise where it is missing or wrong.
func (v values) number(key string, otherwise int) int {
	n := v.of[key]
	if n == nil {
		return otherwise
	}
	f, _ := v.table.Field(key)
	if number, ok := v.numberOf(n, f.From, f.To); ok {
		return number
	}
	return otherwise
}

// measured reads a quantity with its unit.
func measured[T any](v values, key string, parse func(string) (T, error), otherwise T) T {
	n := v.of[key]
	if n == nil {
		return otherwise
	}
	value, err := parse(n.text)
	if err != nil {
		v.fault(n, "quantity", "", "%s", err.Error())
		return otherwise
	}
	return value
}

// list are the items of a field.
func (v values) list(key string) []*node {
	if n := v.of[key]; n != nil {
		return n.items
	}
	return nil
}

// texts are the items of a list of texts.
func (v values) texts(key string) []string {
	var texts []string
	for _, n := range v.list(key) {
		if v.isText(n) {
			texts = append(texts, n.text)
		}
	}
	return texts
}

// isText refuses anything but a scalar that is not empty.
func (r *reader) isText(n *node) bool {
	switch {
	case n.empty():
		r.fault(n, "empty", "", "nothing is written here")
		return false
	case n.shape != scalar:
		r.fault(n, "shape", "put quotes around text that holds any of , ? : [ ] { }", "%s stands here where text is wanted", n.shape)
		return false
	}
	return true
}

const longestQuote = 60

// quoteText is text as messages show it.
func quoteText(text string) string {
	if runes := []rune(text); len(runes) > longestQuote {
		text = string(runes[:longestQuote]) + "…"
	}
	return `"` + strings.ReplaceAll(text, "\n", " ") + `"`
}
