package houses

import (
	"fmt"
	"strings"
)

// addMatrices draws how the matrices stand: one, or its like in three stages;
// many in three stages with fewer ways through the middle than there are inputs,
// or two by two, the first feeding the second.
func (b *builder) addMatrices() {
	count, width := b.size.matrices(), b.size.matrix()
	switch {
	case count == 1 && b.often(20):
		b.stages(width)
	case count == 1:
		b.grid = "grid"
		b.matrix("grid", width, width, b.often(30))
		b.ins, b.outs = ports("grid/in", 1, width), ports("grid/out", 1, width)
	case count >= 5 && b.often(70):
		b.house(count)
	default:
		b.twos(count)
	}
	if b.grid != "" && b.often(25) {
		for n := 1; n <= width; n++ {
			if b.often(40) {
				b.rest = append(b.rest, fmt.Sprintf("out%d: in%d", n, 1+b.IntN(width)))
			}
		}
	}
}

// matrix adds one; one of four lets go of what it does not drive.
func (b *builder) matrix(name string, inputs, outputs int, contacts bool) {
	kind := ""
	switch {
	case contacts:
		kind = ", kind: contacts"
	case b.often(25):
		kind = ", unused: open"
	}
	b.matrices = append(b.matrices, fmt.Sprintf("  %s: {inputs: %d, outputs: %d%s}", name, inputs, outputs, kind))
}

func ports(stem string, from, to int) []string {
	var all []string
	for n := from; n <= to; n++ {
		all = append(all, fmt.Sprint(stem, n))
	}
	return all
}

// stages is one matrix made of smaller ones, as many in the middle as an entry
// has inputs: any connections can be had by rearranging (Slepian 1952, Duguid
// 1959; from memory).
func (b *builder) stages(width int) {
	r := 2
	for r*r < width && width%(r+1) == 0 || width%r > 0 {
		r++
	}
	b.three(Clos{N: width / r, M: width / r, R: r, Contacts: b.often(30)})
}

// three adds three stages whose outer ports go to bays.
func (b *builder) three(c Clos) {
	b.matrices = append(b.matrices, c.lines()...)
	b.wiring = append(b.wiring, c.wires()...)
	b.ins, b.outs = c.inputs(), c.outputs()
}

// house is three stages of a facility.
func (b *builder) house(count int) {
	entries, middles := count*3/8, count/4
	exits := count - entries - middles
	links := min(b.between(7, 10), 64/max(entries, exits))
	add := func(stage string, n int) {
		for i := 1; i <= n; i++ {
			b.matrix(fmt.Sprint(stage, i), 64, 64, b.often(20))
		}
	}
	add("entry", entries)
	add("middle", middles)
	add("exit", exits)
	for m := 1; m <= middles; m++ {
		for e := 1; e <= entries; e++ {
			b.links(fmt.Sprint("entry", e), links*(m-1), fmt.Sprint("middle", m), links*(e-1), links)
		}
		for x := 1; x <= exits; x++ {
			b.links(fmt.Sprint("middle", m), links*(x-1), fmt.Sprint("exit", x), links*(m-1), links)
		}
	}
	for e := 1; e <= entries; e++ {
		b.ins = append(b.ins, ports(fmt.Sprintf("entry%d/in", e), 1, 44)...)
	}
	for x := 1; x <= exits; x++ {
		b.outs = append(b.outs, ports(fmt.Sprintf("exit%d/out", x), 1, 60)...)
	}
}

// links wires outputs of one matrix to inputs of another, each from the one after
// those skipped.
func (b *builder) links(from string, skipOut int, to string, skipIn, count int) {
	b.join(fmt.Sprintf("%s/out%d-%d", from, skipOut+1, skipOut+count), fmt.Sprintf("%s/in%d-%d", to, skipIn+1, skipIn+count))
}

// twos are matrices side by side; every second one is fed by the one before it,
// too.
func (b *builder) twos(count int) {
	for i := 1; i <= count; i++ {
		grid := fmt.Sprint("grid", i)
		b.matrix(grid, 64, 64, b.often(30))
		if i%2 == 1 {
			b.ins, b.outs = append(b.ins, ports(grid+"/in", 1, 40)...), append(b.outs, ports(grid+"/out", 17, 36)...)
			continue
		}
		b.links(fmt.Sprint("grid", i-1), 0, grid, 0, 16)
		b.ins, b.outs = append(b.ins, ports(grid+"/in", 17, 32)...), append(b.outs, ports(grid+"/out", 1, 40)...)
	}
}

// file is the studio file.
func (b *builder) file() []byte {
	var f strings.Builder
	fmt.Fprintf(&f, "studio: %s\ngear:\n%sbays:\n", b.title, b.gear.lines())
	for _, y := range b.bays {
		y.write(&f)
	}
	fmt.Fprintf(&f, "matrices:\n%s\n", strings.Join(b.matrices, "\n"))
	list := func(key string, lines []string) {
		if len(lines) > 0 {
			fmt.Fprintf(&f, "%s:\n  - %s\n", key, strings.Join(lines, "\n  - "))
		}
	}
	list("wiring", b.wiring)
	list("ties", b.ties)
	for _, y := range b.bays {
		if y.mult > 0 {
			n := len(y.tops)
			b.mults = append(b.mults, fmt.Sprintf("[%[1]s/t%[2]d, %[1]s/b%[2]d, %[1]s/t%[3]d, %[1]s/b%[3]d]", y.name, n+1, n+2))
			if y.mult == 3 {
				last := len(b.mults) - 1
				b.mults[last] = fmt.Sprintf("[%[1]s/t%[2]d, %[1]s/b%[2]d, %[1]s/t%[3]d]", y.name, n+1, n+2)
			}
		}
	}
	list("mults", b.mults)
	b.mults = nil
	list("faulty", b.faulty)
	var stock []string
	for _, c := range b.cords {
		stock = append(stock, fmt.Sprintf("%d cm: %d", c.length, c.count))
	}
	fmt.Fprintf(&f, "cords: {stock: {%s}, slack: 10 cm}\n", strings.Join(stock, ", "))
	if b.dummies >= 0 {
		fmt.Fprintf(&f, "dummies: %d\n", b.dummies)
	}
	if len(b.rest) > 0 {
		fmt.Fprintf(&f, "rest: {crosspoints: {%s: {%s}}}\n", b.grid, strings.Join(b.rest, ", "))
	}
	return []byte(f.String())
}

// write writes a bay, with the pairs of its mult at its end.
func (y *bay) write(f *strings.Builder) {
	modes := y.modes
	if y.mult > 0 {
		modes = append(append([]string{}, modes...), "isolated", "isolated")
	}
	var runs []string
	for i := 0; i < len(modes); {
		to := i
		for to < len(modes) && modes[to] == modes[i] {
			to++
		}
		run := fmt.Sprint(i + 1)
		if to > i+1 {
			run = fmt.Sprintf("%d-%d", i+1, to)
		}
		runs = append(runs, run+": "+modes[i])
		i = to
	}
	fmt.Fprintf(f, "  %s:\n    pairs: %d\n    jack: bantam\n    at: {x: %d cm, y: %d cm}\n    pitch: 10 mm\n    modes: {%s}\n",
		y.name, len(modes), y.x, y.y, strings.Join(runs, ", "))
}
