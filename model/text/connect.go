package text

import (
	"slices"

	"bayhand/model/session"
)

// line is one line of connect or keep.
type line struct {
	*reader
	file *sessionReader // of the file that the line stands in
	node *node
	// want holds what all wants of the line share.
	want session.Want
	// first is the number of the line's first chain.
	first int
}

// connect reads lines of what must be heard where.
func (s *sessionReader) connect(n *node, keep bool) {
	for _, item := range s.wholeItems(n) {
		l := &line{reader: s.reader, file: s, node: item, first: s.chains, want: session.Want{Keep: keep, Key: item.key}}
		switch {
		case item.shape == mapping && !s.tornLine(item, wantFields):
			l.labelled(item)
		case item.shape == mapping:
		default:
			l.chain(item)
		}
	}
}

// labelled reads vocal: a -> b, or the long form, with or without a label.
func (l *line) labelled(n *node) {
	if len(n.entries) != 1 || isWantKey(n.entries[0].key.text) {
		l.long(n)
		return
	}
	e := n.entries[0]
	l.want.Label = e.key.text
	if e.value.shape == mapping {
		l.long(e.value)
		return
	}
	l.chain(e.value)
}

func isWantKey(text string) bool {
	_, ok := wantFields.Field(text)
	return ok
}

// long reads {from: a, to: b, via: grid}.
func (l *line) long(n *node) {
	v := l.fields(n, wantFields)
	l.want.Via, l.want.Avoid = l.ways(v.of["via"]), l.ways(v.of["avoid"])
	for _, w := range l.want.Via {
		if slices.Contains(l.want.Avoid, w) {
			l.fault(v.of["avoid"], "way", "", "%s stands in via and in avoid", w)
		}
	}
	from, to := v.of["from"], v.of["to"]
	if from == nil || to == nil {
		return
	}
	left, ok := l.hop(from)
	right, ok2 := l.hop(to)
	if !ok || !ok2 {
		return
	}
	left, ok = l.file.stand(from, left)
	if right, ok2 = l.file.stand(to, right); !ok || !ok2 {
		return
	}
	sources, ok := l.leave(from, left)
	targets, ok2 := l.enter(to, right)
	if ok && ok2 {
		l.ask(to, left, right, lanesOf(sources, l.first), targets, 0)
	}
}

// ways are the matrices or bays that via and avoid name, one or a list.
func (l *line) ways(n *node) []string {
	if n == nil {
		return nil
	}
	items := []*node{n}
	if n.shape == list {
		items = n.items
	}
	var names []string
	for _, item := range items {
		if !l.isText(item) {
			continue
		}
		x := l.file.index
		if x.bays[item.text] == nil && x.matrices[item.text] == nil {
			l.fault(item, "unknown-name", maybe(item.text, x.wayNames()), "no bay or matrix is called %s", quoteText(item.text))
			continue
		}
		names = append(names, item.text)
	}
	return names
}

func (x *index) wayNames() []string {
	var names []string
	for _, owner := range x.owners() {
		if x.gear[owner] == nil {
			names = append(names, owner)
		}
	}
	return names
}
