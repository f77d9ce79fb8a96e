package text

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// Rewire is a studio's file with other jacks in the lines of its wiring and other
// modes of its bays, so that it reads as to has them. Every line that says the
// same stays as it is, with its comment, and so does everything else in the file;
// a line keeps its cable and its order of ports. Ports that no line names yet get
// lines at the end of wiring, and mults that are more than there were lines at the end
// of mults. A file that cannot be read, or a line that cannot
// be written so, is an error, and nothing is changed.
func Rewire(src []byte, to *studio.Studio) ([]byte, error) {
	now, _, problems := ReadStudio("studio", src)
	if problems.Errors() {
		return nil, fmt.Errorf("the studio cannot be read: %w", problems)
	}
	_, root := open("studio", src)
	w := rewirer{lines: splitLines(src), root: root, now: now, to: to}
	w.wires()
	w.modes()
	w.mults()
	if w.err != nil {
		return nil, w.err
	}
	made := w.text()
	again, _, problems := ReadStudio("studio", made)
	if problems.Errors() || !samePlaces(again, to) || len(again.Mults) != len(to.Mults) {
		return nil, errors.New("the studio's wiring cannot be written into its file; put each line of wiring, and the modes of each bay, on lines of their own")
	}
	return made, nil
}

// samePlaces says whether two studios have the same wires and modes.
func samePlaces(a, b *studio.Studio) bool {
	ends := func(s *studio.Studio) []string {
		var all []string
		for _, w := range s.Wires {
			all = append(all, w.From.String()+" "+w.To.String())
		}
		slices.Sort(all)
		return all
	}
	sameModes := func(x, y studio.Bay) bool { return x.Name == y.Name && slices.Equal(x.Modes, y.Modes) }
	return slices.Equal(ends(a), ends(b)) && slices.EqualFunc(a.Bays, b.Bays, sameModes)
}

// rewirer gathers changes of lines, which are counted from 0.
type rewirer struct {
	lines   [][]byte
	root    *node
	now, to *studio.Studio
	changes []change
	err     error
}

// change puts lines in the place of some others; none of them is insertion.
type change struct {
	from, to int
	lines    []string
}

func (w *rewirer) text() []byte {
	slices.SortStableFunc(w.changes, func(a, b change) int { return cmp.Compare(a.from, b.from) })
	k := keeper{lines: w.lines}
	end := k.lineEnd()
	var out []byte
	at := 0
	for _, c := range w.changes {
		for ; at < c.from; at++ {
			out = append(out, w.lines[at]...)
		}
		if len(out) > 0 && !endsLine(out) {
			out = append(out, end...)
		}
		for _, line := range c.lines {
			out = append(append(out, strings.TrimRight(line, "\r\n")...), end...)
		}
		at = max(at, c.to)
	}
	for ; at < len(w.lines); at++ {
		out = append(out, w.lines[at]...)
	}
	return out
}

func (w *rewirer) fail(n *node, why string) {
	if w.err == nil {
		w.err = fmt.Errorf("line %d of the studio %s; %s", n.place.Line, "cannot be rewired", why)
	}
}

// wires changes the lines of wiring.
func (w *rewirer) wires() {
	wanted := map[name.Point]studio.Wire{}
	for _, wire := range w.to.Wires {
		wanted[w.port(wire)] = wire
	}
	byKey := map[string][]studio.Wire{}
	for _, wire := range w.now.Wires {
		byKey[wire.Key] = append(byKey[wire.Key], wire)
	}
	list := w.root.field("wiring")
	for _, item := range list.all() {
		var kept []studio.Wire
		same := true
		for _, wire := range byKey[item.key] {
			then, has := wanted[w.port(wire)]
			same = same && has && then.From == wire.From && then.To == wire.To
			if has {
				kept = append(kept, then)
				delete(wanted, w.port(wire))
			}
		}
		if !same {
			w.item(item, kept)
		}
	}
	var added []studio.Wire
	for _, wire := range w.to.Wires {
		if _, left := wanted[w.port(wire)]; left && !wire.OfLine {
			added = append(added, wire)
		}
	}
	w.add(list, added)
}

// port is the end of a wire that is no jack; its source for one between ports.
func (w *rewirer) port(wire studio.Wire) name.Point {
	if w.to.IsJack(wire.From) {
		return wire.To
	}
	return wire.From
}

// item writes what is left of one line, as several where its jacks are on several
// bays or rows.
func (w *rewirer) item(n *node, wires []studio.Wire) {
	line := n.place.Line - 1
	at := change{line, line + 1, nil}
	for _, run := range runsOf(wires) {
		text, ok := w.rewritten(n, run)
		if !ok {
			w.fail(n, "write it as one source and one destination on a line of its own")
			return
		}
		at.lines = append(at.lines, text)
	}
	w.changes = append(w.changes, at)
}

// rewritten is the line of an item with other ends.
func (w *rewirer) rewritten(n *node, run []studio.Wire) (string, bool) {
	line := string(w.lines[n.place.Line-1])
	from, to := bothSides(run)
	if n.shape == scalar {
		if _, err := name.ParsePair(n.text, name.Into); err != nil || strings.Count(line, n.text) != 1 {
			return "", false
		}
		return strings.Replace(line, n.text, from+" -> "+to, 1), true
	}
	for key, text := range map[string]string{"from": from, "to": to} {
		value := n.field(key)
		old := key + ": " + value.text
		if value.shape != scalar || value.place.Line != n.place.Line || strings.Count(line, old) != 1 {
			return "", false
		}
		if strings.Contains(text, ",") {
			text = `"` + text + `"`
			old = strings.Replace(line[strings.Index(line, key+": "):], key+": ", "", 1)
			old = key + ": " + writtenAs(old, value.text)
		}
		line = strings.Replace(line, old, key+": "+text, 1)
	}
	return line, true
}

// writtenAs is a text as it stands at the beginning of some more, with its quotes
// if it has any.
func writtenAs(rest, text string) string {
	for _, quote := range []string{`"`, `'`} {
		if strings.HasPrefix(rest, quote+text+quote) {
			return quote + text + quote
		}
	}
	return text
}

// runsOf are wires that one line can name: ports of one kind, jacks of one row.
func runsOf(wires []studio.Wire) [][]studio.Wire {
	var runs [][]studio.Wire
	for _, wire := range wires {
		last := len(runs) - 1
		if last >= 0 && sameKind(runs[last][0].From, wire.From) && sameKind(runs[last][0].To, wire.To) {
			runs[last] = append(runs[last], wire)
			continue
		}
		runs = append(runs, []studio.Wire{wire})
	}
	return runs
}

func sameKind(a, b name.Point) bool {
	return a.Owner == b.Owner && a.Stem == b.Stem && a.Part == b.Part
}

// bothSides are the two sides of a line.
func bothSides(run []studio.Wire) (from, to string) {
	var left, right []name.Point
	for _, wire := range run {
		left, right = append(left, wire.From), append(right, wire.To)
	}
	return oneText(left), oneText(right)
}

// add writes lines for ports that none names yet, behind the last of wiring.
func (w *rewirer) add(list *node, wires []studio.Wire) {
	if len(wires) == 0 {
		return
	}
	at, indent := len(w.lines), "  "
	var lines []string
	switch items := list.all(); {
	case list == nil:
		lines = append(lines, "wiring:")
	case len(items) == 0 || list.flow:
		w.fail(w.root, "write each line of wiring below the key, behind a dash")
		return
	default:
		last := items[len(items)-1]
		at = w.endOf(last)
		first, _, _ := strings.Cut(string(w.lines[last.place.Line-1]), "-")
		indent = first
	}
	for _, run := range runsOf(wires) {
		from, to := bothSides(run)
		lines = append(lines, indent+"- "+from+" -> "+to)
	}
	w.changes = append(w.changes, change{at, at, lines})
}

// mults adds those that are more than there were.
func (w *rewirer) mults() {
	if len(w.to.Mults) <= len(w.now.Mults) {
		return
	}
	list := w.root.field("mults")
	at, indent := len(w.lines), "  "
	var lines []string
	switch items := list.all(); {
	case list == nil:
		lines = append(lines, "mults:")
	case len(items) == 0 || list.flow:
		w.fail(w.root, "write each mult below the key, behind a dash")
		return
	default:
		last := items[len(items)-1]
		at = w.endOf(last)
		indent, _, _ = strings.Cut(string(w.lines[last.place.Line-1]), "-")
	}
	for _, m := range w.to.Mults[len(w.now.Mults):] {
		var jacks []string
		for _, j := range m.Jacks {
			jacks = append(jacks, j.String())
		}
		lines = append(lines, indent+"- ["+strings.Join(jacks, ", ")+"]")
	}
	w.changes = append(w.changes, change{at, at, lines})
}

// endOf is the line behind an item, which may take several.
func (w *rewirer) endOf(n *node) int {
	last := n.place.Line
	for _, e := range n.eachEntry() {
		last = max(last, e.value.place.Line)
	}
	return last
}

// modes changes those of bays.
func (w *rewirer) modes() {
	for n, bay := range w.to.Bays {
		if slices.Equal(bay.Modes, w.now.Bays[n].Modes) {
			continue
		}
		value := w.root.field("bays").field(bay.Name).field("modes")
		if value == nil {
			w.fail(w.root, "give "+bay.Name+" its modes")
			return
		}
		w.mode(value, modesText(bay.Modes))
	}
}

// mode writes the modes of one bay where those before stood.
func (w *rewirer) mode(value *node, text string) {
	line := value.place.Line - 1
	written := []rune(string(w.lines[line]))
	switch {
	case value.shape == mapping && !value.flow:
		key := line - 1
		head := strings.TrimRight(string(w.lines[key]), "\r\n")
		before, comment, _ := strings.Cut(head, "#")
		if comment != "" {
			comment = "  #" + comment
		}
		w.changes = append(w.changes, change{key, w.endOf(value), []string{strings.TrimRight(before, " ") + " " + text + comment}})
	case value.shape == mapping:
		from := value.place.Column - 1
		end := slices.Index(written[from:], '}')
		if end < 0 {
			w.fail(value, "write the modes of a bay on one line, in braces")
			return
		}
		w.changes = append(w.changes, change{line, line + 1, []string{string(written[:from]) + text + string(written[from+end+1:])}})
	default:
		head := string(written)
		w.changes = append(w.changes, change{line, line + 1, []string{strings.Replace(head, "modes: "+value.text, "modes: "+text, 1)}})
	}
}

// modesText is {1-16: half-normal, 17-24: isolated}.
func modesText(modes []studio.Mode) string {
	var parts []string
	for from := 0; from < len(modes); {
		to := from
		for to+1 < len(modes) && modes[to+1] == modes[from] {
			to++
		}
		pairs := fmt.Sprint(from + 1)
		if to > from {
			pairs = fmt.Sprintf("%d-%d", from+1, to+1)
		}
		parts = append(parts, pairs+": "+modes[from].String())
		from = to + 1
	}
	return "{" + strings.Join(parts, ", ") + "}"
}
