package text

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// branch is a point of a chain that is written, and what follows it. A folded
// branch stands for several chains of one form side by side: its points are
// theirs, in order.
type branch struct {
	points []name.Point
	next   []*branch
}

// written is a line of connect or keep before it is text.
type written struct {
	label      string
	via, avoid []string
	root       *branch
}

// Chains are wants as lines of connect, the shortest that say them.
func Chains(wants []session.Want, s *studio.Studio, guests []studio.Gear) []string {
	w := &sessionWriter{studio: s, index: indexWith(s, guests)}
	var texts []string
	for _, l := range w.lines(wants, false) {
		texts = append(texts, chainText(l.root))
	}
	return texts
}

// lines are the wants of connect, or those of keep.
func (w *sessionWriter) lines(wants []session.Want, keep bool) []written {
	var lines []written
	for _, chain := range byChain(wants) {
		if chain[0].Keep == keep {
			lines = append(lines, w.chainsOf(chain)...)
		}
	}
	return foldLines(lines)
}

// wants writes the wants of connect, or those of keep.
func (w *sessionWriter) wants(key string, wants []session.Want, keep bool) {
	lines := w.lines(wants, keep)
	if len(lines) > 0 {
		w.line(0, key+":")
	}
	for _, l := range lines {
		w.want(l)
	}
}

// byChain parts wants by their chains, each where its first want stands.
func byChain(wants []session.Want) [][]session.Want {
	type id struct {
		chain int
		keep  bool
		label string
	}
	at := map[id]int{}
	var chains [][]session.Want
	for _, w := range wants {
		key := id{w.Chain, w.Keep, w.Label}
		i, had := at[key]
		if !had {
			i = len(chains)
			at[key] = i
			chains = append(chains, nil)
		}
		chains[i] = append(chains[i], w)
	}
	return chains
}

// chainsOf builds the lines of one chain: one, or more where a way cannot be
// written as hops.
func (w *sessionWriter) chainsOf(wants []session.Want) []written {
	var lines []written
	used := make([]bool, len(wants))
	for i, want := range wants {
		if used[i] {
			continue
		}
		l := written{label: want.Label, via: want.Via, avoid: want.Avoid}
		long := len(l.via)+len(l.avoid) > 0
		l.root = &branch{points: []name.Point{short(want.Source, name.Send)}, next: w.branches(wants, used, want.Source, want, !long)}
		lines = append(lines, l)
	}
	return lines
}

// branches are the destinations of a source among wants of the same kind, with
// what follows them.
func (w *sessionWriter) branches(wants []session.Want, used []bool, source name.Point, like session.Want, onward bool) []*branch {
	var next []*branch
	for i, want := range wants {
		if used[i] || want.Source != source || !slices.Equal(want.Via, like.Via) || !slices.Equal(want.Avoid, like.Avoid) {
			continue
		}
		used[i] = true
		b := &branch{points: []name.Point{short(want.Destination, name.Return)}}
		next = append(next, b)
		if hop, out, ok := w.through(want.Destination); ok && onward {
			if b.next = w.branches(wants, used, out, like, true); len(b.next) > 0 {
				b.points[0] = hop
			}
		} else if row := w.spread(wants, used, want.Destination, like); onward && row != nil {
			b.points[0] = name.Point{Owner: want.Destination.Owner}
			b.next = []*branch{{points: row}}
		}
	}
	return next
}

// spread are the destinations behind gear with one input and several outputs, as
// one range: plate -> desk/in7-8. Each output has one want among the unused, which
// goes no further. Nil where it is not so.
func (w *sessionWriter) spread(wants []session.Want, used []bool, in name.Point, like session.Want) []name.Point {
	g := w.index.gear[in.Owner]
	if g == nil {
		return nil
	}
	outs, _ := bareHop(g, studio.Output)
	var row []name.Point
	var taken []int
	for _, out := range outs {
		for i, want := range wants {
			if want.Source == out && !used[i] && slices.Equal(want.Via, like.Via) && slices.Equal(want.Avoid, like.Avoid) {
				taken = append(taken, i)
				row = append(row, want.Destination)
			}
		}
		if last := len(taken) - 1; last < 0 || wants[taken[last]].Source != out {
			return nil
		}
	}
	if len(row) != len(outs) || len(outs) < 2 || len(name.Fold(row)) != 1 || w.goesOn(wants, row) {
		return nil
	}
	for _, i := range taken {
		used[i] = true
	}
	return row
}

// goesOn says whether any want begins behind one of the inputs.
func (w *sessionWriter) goesOn(wants []session.Want, inputs []name.Point) bool {
	return slices.ContainsFunc(wants, func(want session.Want) bool {
		return slices.ContainsFunc(inputs, func(in name.Point) bool {
			_, out, ok := w.through(in)
			return ok && want.Source == out
		})
	})
}

// short is an insert without the half that its place in a chain says.
func short(p name.Point, part name.Part) name.Point {
	if p.Part == part {
		p.Part = name.Whole
	}
	return p
}

// through is the hop that stands for an input and the one output behind it.
func (w *sessionWriter) through(in name.Point) (hop, out name.Point, ok bool) {
	if in.Part == name.Return {
		return half(in, name.Whole), half(in, name.Send), true
	}
	g := w.index.gear[in.Owner]
	if g == nil {
		return in, in, false
	}
	if in.Stem == "in" && in.Part == name.Whole && in.Number >= 1 && in.Number <= g.Channels {
		return name.At(in.Owner, "", in.Number), name.At(in.Owner, "out", in.Number), true
	}
	if outs, ok := bareHop(g, studio.Output); ok && len(outs) == 1 {
		return name.Point{Owner: in.Owner}, outs[0], true
	}
	return in, in, false
}

// want writes a line, in its short form where it has no ways.
func (w *sessionWriter) want(l written) {
	label := ""
	if l.label != "" {
		label = scalarText(l.label) + ": "
	}
	if len(l.via)+len(l.avoid) == 0 {
		w.line(1, "- "+label+chainText(l.root))
		return
	}
	for _, to := range destinationTexts(l.root) {
		text := "{from: " + scalarText(oneText(l.root.points)) + ", to: " + scalarText(to)
		for _, way := range []struct {
			key   string
			names []string
		}{{"via", l.via}, {"avoid", l.avoid}} {
			if len(way.names) > 0 {
				text += ", " + way.key + ": " + inputsText(way.names)
			}
		}
		w.line(1, "- "+label+text+"}")
	}
}

// chainText is a branch as text: a -> b, or a -> [b, c -> d].
func chainText(b *branch) string {
	text := oneText(b.points)
	switch len(b.next) {
	case 0:
		return text
	case 1:
		return text + " -> " + chainText(b.next[0])
	}
	texts := destinationTexts(b)
	if len(texts) == 1 {
		return text + " -> " + texts[0]
	}
	return text + " -> [" + strings.Join(texts, ", ") + "]"
}

// destinationTexts are what follows a branch. Where one point goes to several
// neighbours that end there, they are one range.
func destinationTexts(b *branch) []string {
	var texts []string
	for i := 0; i < len(b.next); {
		end := i + 1
		run := slices.Clone(b.next[i].points)
		for len(b.points) == 1 && end < len(b.next) && len(b.next[i].next) == 0 && len(b.next[end].next) == 0 && follows(&branch{points: run}, &branch{points: b.next[end].points}) {
			run = append(run, b.next[end].points...)
			end++
		}
		if end > i+1 {
			texts = append(texts, oneText(run))
		} else {
			texts = append(texts, chainText(b.next[i]))
		}
		i = end
	}
	return texts
}
