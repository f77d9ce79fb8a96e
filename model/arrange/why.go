package arrange

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// Column is one column of the proposal, in a person's words.
type Column struct {
	Bay     string     `json:"bay"`
	Pair    int        `json:"pair"`
	Top     name.Point `json:"top,omitzero"`
	Bottom  name.Point `json:"bottom,omitzero"`
	Mode    string     `json:"mode"`
	Because string     `json:"because"`
}

// Blank says whether nothing is wired to the column.
func (c Column) Blank() bool { return c.Top.IsZero() && c.Bottom.IsZero() }

// Columns are all columns that were arranged, blanks among them.
func (l *Layout) Columns() []Column {
	c := l.columns
	all := []Column{}
	for n, at := range c.room.slots {
		col := Column{Bay: c.room.studio.Bays[at.bay].Name, Pair: at.number, Mode: c.mode(n).String(), Because: l.because(n)}
		if o := c.top[n]; o != none {
			col.Top = c.room.outputs[o].point
		}
		if i := c.bottom[n]; i != none {
			col.Bottom = c.room.inputs[i].point
		}
		all = append(all, col)
	}
	return all
}

// reasons are why columns of a layout are as they are, in a hand's words.
type reasons struct{ *columns }

// because says why a column is as it is, and what another mode would cost.
func (l *Layout) because(n int) string {
	c := reasons{l.columns}
	o, i := c.top[n], c.bottom[n]
	why := c.whyPair(n, o, i)
	switch {
	case l.multColumns[n]:
		return phrase.Put("part of a mult: {reason}", "reason", l.mults.Because)
	case o == none && i == none:
		return c.whyBlank(n)
	case c.groupOf(n) != none && o != none && i != none:
		mode := c.mode(n).String()
		return phrase.Put("{mode}, as its whole group is set; {reason}", "mode", mode, "reason", strings.TrimPrefix(why, mode+": "))
	}
	return why
}

// whyBlank says what a blank column is for.
func (c reasons) whyBlank(n int) string {
	if c.mode(n) == studio.Parallel {
		return "blank: its two jacks stay joined, as a mult of two"
	}
	if n > 0 && n+1 < len(c.top) && !c.first[n] && !c.first[n+1] {
		left, leftPhantom := c.kind(n - 1)
		right, rightPhantom := c.kind(n + 1)
		switch known := left != studio.LineUnknown && right != studio.LineUnknown && left != right; {
		case known && (leftPhantom || rightPhantom):
			return "blank: keeps inputs with phantom power away from other lines"
		case known:
			return "blank: keeps lines of different kinds apart"
		}
	}
	return "blank, to spare: for gear that is still to come"
}

// whyPair says why an output stands over an input, in that mode.
func (c reasons) whyPair(n, o, i int) string {
	switch {
	case o == none && i == none:
		return ""
	case o != none && i != none && c.pricing.demand.halved(o, i):
		return "half-normal: an insert, its send over its return, so that the channel is whole until something is plugged; isolated would cost a cord in each session to close it"
	case c.mode(n) == studio.Parallel:
		return c.whyParallel(o, i)
	case o != none && c.room.outputs[o].turned, i != none && c.room.inputs[i].turned:
		return "isolated: its own row is full, so that it stands in the other one"
	case c.pricing.barred[pairing{o, i}]:
		return phrase.Put("isolated: a normal here would let a signal go round; it would have saved {plugs}", "plugs", counted(c.saved(o, i), "plug"))
	case o == none || i == none:
		return c.orElsewhere(c.used(o, i), n, i)
	case c.pricing.evened[pairing{o, i}]:
		costs := c.pricing.column(o, i)
		return evenedBy(int(costs[studio.HalfNormal] - costs[studio.Isolated]))
	}
	if asked, tapped := c.asked(o, i); asked > 0 && isNormal(c.mode(n)) {
		return c.whyNormal(o, i, asked, tapped)
	}
	return c.orElsewhere(c.whyIsolated(o, i), n, i)
}

// evenedBy says why a pair is as its other side, though isolated would save plugs.
func evenedBy(plugs int) string {
	if plugs <= 0 {
		return "half-normal, as its other side, so that both are plugged alike; no session asks for it, and isolated would cost the same"
	}
	return phrase.Put("half-normal, as its other side, so that both are plugged alike; no session asks for it, and isolated would save {plugs}",
		"plugs", counted(plugs, "plug"))
}

// saved is how many plugs a normal from an output to an input saves in all sessions.
func (c reasons) saved(o, i int) int {
	costs := c.pricing.column(o, i)
	with := min(costs[studio.HalfNormal], costs[studio.FullNormal])
	if with >= forbidden {
		return 0
	}
	return int(max(0, costs[studio.Isolated]-with))
}

// orElsewhere adds to why an input has no normal under which source it would save plugs,
// and why it does not stand there.
func (c reasons) orElsewhere(why string, n, i int) string {
	if i == none {
		return why
	}
	best, most := none, 0
	for o := range c.pricing.demand.outputs {
		if saved := c.saved(o, i); saved > most {
			best, most = o, saved
		}
	}
	if best == none || best == c.top[n] {
		return why
	}
	gear := c.label(c.room.outputs[best].point)
	at := slices.Index(c.top, best)
	if at < 0 || c.bottom[at] == none || !isNormal(c.mode(at)) {
		return phrase.Put("{reason}; under {gear} it would save {plugs}, and part what belongs together", "reason", why, "gear", gear, "plugs", counted(most, "plug"))
	}
	return phrase.Put("{reason}; under {gear} it would save {plugs}, where {other} saves {n}", "reason", why, "gear", gear, "plugs", counted(most, "plug"),
		"other", c.label(c.room.inputs[c.bottom[at]].point), "n", strconv.Itoa(c.saved(best, c.bottom[at])))
}

// label is what is printed on the gear of a port.
func (c reasons) label(p name.Point) string { return c.room.studio.Label(p.Owner) }

// whyParallel says what the second front jack of a source saves.
func (c reasons) whyParallel(o, i int) string {
	costs := c.pricing.column(o, i)
	return fmt.Sprintf("parallel: it is split by cord, and its second front jack saves %s", counted(int(costs[studio.Isolated]-costs[studio.Parallel]), "plug"))
}

// whyIsolated says what keeps two ports in one column without a normal.
func (c reasons) whyIsolated(o, i int) string {
	out, in := c.room.outputs[o].point, c.room.inputs[i].point
	asked, _ := c.asked(o, i)
	costs := c.pricing.column(o, i)
	switch {
	case out.Owner == in.Owner:
		return phrase.Put("isolated: both belong to {owner}, and a normal would send it into itself", "owner", c.label(out))
	case min(costs[studio.HalfNormal], costs[studio.FullNormal]) >= forbidden && asked == 0:
		return "isolated: a normal is not allowed here; its output over an input that nothing else wants"
	case min(costs[studio.HalfNormal], costs[studio.FullNormal]) >= forbidden:
		return fmt.Sprintf("isolated: asked for in %d of %s, and a normal is not allowed here", asked, counted(len(c.pricing.demand.weights), "session"))
	case min(costs[studio.HalfNormal], costs[studio.FullNormal]) > costs[studio.Isolated]:
		return fmt.Sprintf("isolated: no session asks for it, and a normal would take %s to silence it", counted(int(min(costs[studio.HalfNormal], costs[studio.FullNormal])-costs[studio.Isolated]), "dummy"))
	}
	if c.uses(o, none)+c.uses(none, i) == 0 {
		return "isolated: no session uses either"
	}
	return phrase.Put("isolated: no session asks for it; {use}", "use", c.usedApart(o, i))
}

// usedApart says how often each of two ports is used from elsewhere.
func (c reasons) usedApart(o, i int) string {
	out, in := c.uses(o, none), c.uses(none, i)
	return fmt.Sprintf("the upper is used in %d, the lower in %d of %s, by cord", out, in, counted(len(c.pricing.demand.weights), "session"))
}

// asked is in how many sessions an input wants an output, and in how many of them
// another one wants it too.
func (c reasons) asked(o, i int) (asked, tapped int) {
	d := c.pricing.demand
	for s := range d.weights {
		if d.asks(s, o, i) {
			asked++
			if len(d.wants[s][o]) > 1 {
				tapped++
			}
		}
	}
	return asked, tapped
}

func (c reasons) whyNormal(o, i, asked, tapped int) string {
	mode, cost := c.pricing.column(o, i).best(true)
	parts := []string{fmt.Sprintf("%s: asked for in %d of %s", mode, asked, counted(len(c.pricing.demand.weights), "session"))}
	if tapped > 0 {
		parts = append(parts, fmt.Sprintf("tapped in %d", tapped))
	}
	for _, other := range []studio.Mode{studio.Isolated, studio.HalfNormal, studio.FullNormal} {
		if more := c.pricing.column(o, i)[other] - cost; other != mode && more > 0 && more < forbidden {
			parts = append(parts, c.dearer(other, i, counted(int(more), "plug")))
		}
	}
	return strings.Join(parts, "; ")
}

// dearer says what another mode would cost. All that a normal has over a half-normal is
// that its input falls silent when its source is taken away.
func (c reasons) dearer(other studio.Mode, i int, more string) string {
	silent := func(s []bool) bool { return s[i] }
	if other == studio.FullNormal && !slices.ContainsFunc(c.pricing.demand.silent, silent) {
		return phrase.Put("{mode} would cost {plugs} more, for silence that no session asks for", "mode", other.String(), "plugs", more)
	}
	return phrase.Put("{mode} would cost {plugs} more", "mode", other.String(), "plugs", more)
}

// used says in how many sessions a port alone in its column is used.
func (c reasons) used(o, i int) string {
	used := c.uses(o, i)
	if used == 0 {
		return "alone: no session uses it"
	}
	text := fmt.Sprintf("alone: used in %d of %s, by cord", used, counted(len(c.pricing.demand.weights), "session"))
	if i != none {
		return phrase.Put("{use} from {sources}", "use", text, "sources", counted(c.sources(i), "source"))
	}
	return text
}

// sources is how many outputs an input wants in all sessions.
func (c reasons) sources(i int) int {
	count := 0
	for o := range c.pricing.demand.outputs {
		for s := range c.pricing.demand.weights {
			if c.pricing.demand.asks(s, o, i) {
				count++
				break
			}
		}
	}
	return count
}

// uses is in how many sessions an output, or an input, is used.
func (c reasons) uses(o, i int) int {
	d, used := c.pricing.demand, 0
	for s := range d.weights {
		in := o != none && len(d.wants[s][o]) > 0
		for out := 0; i != none && out < d.outputs; out++ {
			in = in || d.asks(s, out, i)
		}
		if in {
			used++
		}
	}
	return used
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	if what == "dummy" {
		return fmt.Sprintf("%d dummies", n)
	}
	return fmt.Sprintf("%d %ss", n, what)
}
