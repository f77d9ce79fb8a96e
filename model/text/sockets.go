package text

import (
	"slices"
	"strconv"
	"strings"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// sockets reads {d1: {plug: d-sub-25, ports: out1-8, pins: aes59}} of gear or of
// a bay; has says which ports, or jacks, there are.
func (r *studioReader) sockets(n *node, owner, what string, has func(name.Point) bool) []studio.Socket {
	var all []studio.Socket
	taken := map[name.Point]*node{}
	for _, e := range n.eachEntry() {
		v := r.fields(e.value, socketFields)
		s := studio.Socket{Name: e.key.text, Plug: v.text("plug"), Pins: v.word("pins")}
		if ports := v.of["ports"]; ports != nil {
			for _, item := range r.oneOrMore(ports) {
				s.Ports = append(s.Ports, r.inSocket(item, owner, what, has, taken)...)
			}
		}
		all = append(all, s)
	}
	return all
}

func (r *studioReader) inSocket(n *node, owner, what string, has func(name.Point) bool, taken map[name.Point]*node) []name.Point {
	points, err := name.Ports(owner, n.text)
	if err != nil {
		r.nameFault(n, err)
		return nil
	}
	r.spend(n, len(points))
	for _, p := range points {
		first := taken[p]
		switch {
		case !has(p):
			r.fault(n, "unknown-name", "", "%s has no %s %s", owner, what, p.Port())
		case first != nil:
			r.fault(n, "duplicate", "", "%s is in two connectors; the other is in line %d", p.Port(), first.place.Line)
		default:
			taken[p] = n
			continue
		}
		return nil
	}
	return points
}

// rearOf reads what a bay has for those who wire it and name its jacks.
func (r *bayReader) rearOf(v values, b *studio.Bay) {
	b.Short = v.text("short")
	b.Rear = rearNamed(v.word("rear"))
	b.Sockets = r.file.sockets(v.of["sockets"], b.Name, "jack", b.HasJack)
	b.SetModes = r.setModes(v.of["set-modes"])
	if n := v.of["strips"]; n != nil {
		b.Strips = r.strips(n)
	}
}

func rearNamed(word string) studio.Rear {
	at := slices.Index(rearWords, word)
	return studio.Rear(at + 1) // the words stand in the order of the values
}

// setModes reads each, fixed or by 8.
func (r *bayReader) setModes(n *node) studio.SetModes {
	if n == nil {
		return 0
	}
	switch n.text {
	case "each":
		return 1
	case "fixed":
		return studio.ModesFixed
	}
	digits, ok := strings.CutPrefix(n.text, "by ")
	count, err := strconv.Atoi(strings.TrimSpace(digits))
	if !ok || err != nil || count < 1 || count > name.MaxNumber {
		r.fault(n, "word", "write each, by 8 or fixed", "%s stands here; modes are set for each pair, by a number of pairs, or are fixed", quoteText(n.text))
		return 0
	}
	return studio.SetModes(count)
}

// Strips of paper are as high as fingers can cut and a front leaves room for.
const highestStrip = 50 * measure.Millimetre

func (r *bayReader) strips(n *node) studio.Strips {
	v := r.fields(n, stripFields)
	height := func(key string) measure.Length {
		length := measured(v, key, measure.ParseLength, 0)
		if length < 0 || length > highestStrip {
			r.fault(v.of[key], "quantity", "", "%s stands here; it is from 0 mm to %v", quoteText(v.text(key)), highestStrip)
			return 0
		}
		if length == 0 && v.has(key) && key != "lead-in" {
			return studio.NoStrip
		}
		return length
	}
	return studio.Strips{
		Above: height("above"), Below: height("below"), Between: height("between"),
		Rear: height("rear"), LeadIn: height("lead-in"),
	}
}
