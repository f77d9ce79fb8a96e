package houses

import (
	"fmt"
	"strings"
)

// gear draws what stands in the racks, column by column. Only what is wired is
// there.
type gear struct {
	dice
	pieces []*piece
	// outs and ins are the pieces of the column whose next port may be wired.
	outs, ins     []*piece
	desk          *piece
	mics, effects int
}

// piece is a piece of gear, with how many ports of it are wired.
type piece struct {
	name                string
	outs, ins, inserts  int
	passes, loudspeaker bool
	line                string
}

func newGear(d dice) *gear { return &gear{dice: d} }

func (g *gear) add(p piece) *piece {
	if p.line == "" {
		p.line = "pro-line"
	}
	g.pieces = append(g.pieces, &p)
	return &p
}

// column begins a column of so many pairs: a desk, effects, a recorder,
// loudspeakers. Some effects pass on what they hear.
func (g *gear) column(c, of, pairs int) {
	number := ""
	if of > 1 {
		number = fmt.Sprint(c + 1)
	}
	g.desk = g.add(piece{name: "desk" + number})
	g.outs, g.ins = times(g.desk, pairs*3/8), times(g.desk, pairs*5/8)
	for range max(2, pairs/8) {
		g.effects++
		unit := g.add(piece{name: fmt.Sprint("effect", g.effects), passes: g.often(70)})
		ports := times(unit, g.between(1, 2))
		g.outs, g.ins = append(g.outs, ports...), append(g.ins, ports...)
	}
	g.ins = append(g.ins, times(g.add(piece{name: "recorder" + number}), max(2, pairs/5))...)
	g.outs, g.ins = some(g.dice, g.outs), some(g.dice, g.ins)
	if c == 0 || g.often(50) {
		g.ins = append(times(g.add(piece{name: "speakers" + number, loudspeaker: true}), 2), g.ins...)
	}
}

func times(p *piece, n int) []*piece {
	var all []*piece
	for range n {
		all = append(all, p)
	}
	return all
}

func effect(port string) bool { return strings.HasPrefix(port, "effect") }

// parts says whether both are the halves of an insert.
func parts(over, under string) bool {
	return strings.HasSuffix(over, ".send") && strings.HasSuffix(under, ".return")
}

// insert is the next of the column's desk.
func (g *gear) insert() (send, back string) {
	g.desk.inserts++
	at := fmt.Sprintf("%s/ins%d", g.desk.name, g.desk.inserts)
	return at + ".send", at + ".return"
}

// output is a port that feeds a jack: of the column's gear, or of one more
// microphone.
func (g *gear) output() string {
	if len(g.outs) == 0 || g.often(40) {
		g.mics++
		g.outs = append([]*piece{g.add(piece{name: fmt.Sprint("mic", g.mics), line: one(g.dice, []string{"microphone", "pro-line"})})}, g.outs...)
	}
	p := g.outs[0]
	g.outs = g.outs[1:]
	p.outs++
	return fmt.Sprintf("%s/out%d", p.name, p.outs)
}

// input is a port that is fed from a jack; none when the column has no more.
func (g *gear) input() string {
	if len(g.ins) == 0 {
		return ""
	}
	p := g.ins[0]
	g.ins = g.ins[1:]
	p.ins++
	return fmt.Sprintf("%s/in%d", p.name, p.ins)
}

func (g *gear) lines() string {
	var f strings.Builder
	for _, p := range g.pieces {
		p.write(&f)
	}
	return f.String()
}

func (p *piece) write(f *strings.Builder) {
	if p.outs+p.ins+p.inserts == 0 {
		return
	}
	fmt.Fprintf(f, "  %s:\n", p.name)
	for _, has := range []struct {
		key, stem string
		count     int
	}{{"inserts", "ins", p.inserts}, {"outputs", "out", p.outs}, {"inputs", "in", p.ins}} {
		if has.count > 0 {
			fmt.Fprintf(f, "    %s: {%s: %s}\n", has.key, run(has.stem, has.count), p.line)
		}
	}
	if both := min(p.outs, p.ins); p.passes && both > 0 {
		var passes []string
		for n := 1; n <= both; n++ {
			passes = append(passes, fmt.Sprintf("in%d -> out%d", n, n))
		}
		fmt.Fprintf(f, "    passes: [%s]\n", strings.Join(passes, ", "))
	}
	if p.loudspeaker {
		f.WriteString("    role: loudspeaker\n")
	}
}

// run is a stem with the numbers from 1.
func run(stem string, count int) string {
	if count == 1 {
		return stem + "1"
	}
	return fmt.Sprintf("%s1-%d", stem, count)
}
