package tight

import "fmt"

// kinds: two bays of different jacks and a stock of many kinds, some of which do the work
// of others: longer ones, of other poles and colours, with other plugs.
func (r *room) kinds() {
	r.bay("main", "bantam", 14, 0, "isolated")
	r.bay("side", "quarter-inch", 14, 50, "isolated")
	mixed, main := r.between(1, 4), r.between(2, 5)
	owned := max(0, mixed+r.spare)
	r.stockOf(owned, 90, ", ends: [bantam, quarter-inch]")
	r.stockOf(main, 30, ", ends: [bantam, bantam]")
	r.cord(60, ", ends: [quarter-inch, quarter-inch], poles: 2, colour: black", r.IntN(3))
	for i := range mixed {
		r.want(r.source(fmt.Sprintf("main/t%d", i+1)), "", r.input(fmt.Sprintf("side/b%d", i+1)))
	}
	for i := range main {
		r.want(r.source(fmt.Sprintf("main/t%d", mixed+i+1)), "", r.input(fmt.Sprintf("main/b%d", mixed+i+1)))
	}
}

// stockOf adds so many cords in drawn lengths, poles and colours, none shorter than one.
func (r *room) stockOf(count, least int, more string) {
	colours := []string{"red", "blue", "yellow"}
	for count > 0 {
		n := r.between(1, count)
		r.cord(least+30*r.IntN(3), fmt.Sprintf("%s, poles: %d, colour: %s", more, r.between(2, 3), colours[r.IntN(3)]), n)
		count -= n
	}
}

// colours: inputs that only the longer cords reach, which are of several colours and poles.
func (r *room) colours() {
	r.bay("main", "bantam", 12, 0, "isolated")
	r.bay("far", "bantam", 12, 60, "isolated")
	n, near := r.between(2, 6), r.IntN(4)
	r.stockOf(near+2, 30, "")
	r.stockOf(max(0, n+r.spare), 120, "")
	for i := range n {
		r.want(r.source(fmt.Sprintf("main/t%d", i+1)), "", r.input(fmt.Sprintf("far/b%d", i+1)))
	}
	for i := range near {
		r.want(r.source(fmt.Sprintf("far/t%d", i+1)), "", r.input(fmt.Sprintf("far/b%d", n+i+1)))
	}
}

// strips: a bay whose normals bring each source to its input, some of which change places
// or fall silent; cords of another session are in.
func (r *room) strips() {
	mode := []string{"half-normal", "normal", "half-normal-top"}[r.IntN(3)]
	r.bay("main", "bantam", 16, 0, mode)
	pairs := r.between(6, 12)
	var sources, inputs []string
	for i := range pairs {
		sources = append(sources, r.source(fmt.Sprintf("main/t%d", i+1)))
		inputs = append(inputs, r.input(fmt.Sprintf("main/b%d", i+1)))
	}
	moved, quiet := r.between(2, 4), r.IntN(3)
	for i := range moved {
		r.want(sources[i], "", inputs[(i+1)%moved])
	}
	for i := range quiet {
		r.silents = append(r.silents, inputs[pairs-1-i])
	}
	r.dummyCount = r.IntN(quiet + 1)
	r.stockOf(max(1, moved+quiet-r.dummyCount+r.spare), 60, "")
	if r.IntN(2) == 0 {
		r.cords = append(r.cords, fmt.Sprintf("main/t%d - main/b%d", pairs, pairs-1))
	}
}

// fan: outputs of a matrix of amplifiers go to inputs by cords, so that one source comes to
// many without a mult as long as there are outputs.
func (r *room) fan() {
	r.bay("main", "bantam", 24, 0, "isolated")
	r.cord(60, ", colour: green", 40)
	sources, each := r.between(1, 3), r.between(2, 3)
	outs, ins := max(1, sources*each+r.spare), sources+r.IntN(2)
	r.matrices = append(r.matrices, fmt.Sprintf("  grid: {inputs: %d, outputs: %d}", ins, outs))
	for i := range ins {
		r.wires = append(r.wires, fmt.Sprintf("main/b%d -> grid/in%d", 15+i, i+1))
	}
	for i := range outs {
		r.wires = append(r.wires, fmt.Sprintf("grid/out%d -> main/t%d", i+1, 11+i))
	}
	for i := range sources {
		s := r.source(fmt.Sprintf("main/t%d", i+1))
		var in []string
		for k := range each {
			in = append(in, r.input(fmt.Sprintf("main/b%d", each*i+k+1)))
		}
		r.want(s, "", in...)
	}
}

// stereo: as outputs, but outputs of the matrix are switched in pairs, and some crosspoints
// do not exist.
func (r *room) stereo() {
	r.bay("main", "bantam", 16, 0, "isolated")
	r.bay("far", "bantam", 16, 400, "isolated")
	r.cord(60, "", 60)
	pairs, outs := r.between(1, 2), r.between(1, 3)
	wide := 2 * max(pairs, outs)
	more := ""
	if r.IntN(2) == 0 {
		more = fmt.Sprintf(", missing: [in1 x out%d]", 2*outs)
	}
	var groups string
	for i := range outs {
		groups += fmt.Sprintf("%s[out%d, out%d]", []string{"", ", "}[min(i, 1)], 2*i+1, 2*i+2)
	}
	r.matrices = append(r.matrices, fmt.Sprintf("  grid: {inputs: %d, outputs: %d, stereo: [%s]%s}", wide, 2*outs, groups, more))
	for i := range wide {
		r.wires = append(r.wires, fmt.Sprintf("main/b%d -> grid/in%d", i+1, i+1))
	}
	for i := range 2 * outs {
		r.wires = append(r.wires, fmt.Sprintf("grid/out%d -> far/t%d", i+1, i+1))
	}
	for i := range 2*pairs + r.spare + 1 {
		r.want(r.source(fmt.Sprintf("main/t%d", i+1)), "", r.input(fmt.Sprintf("far/b%d", i+1)))
	}
}

// crowd: a room as at home, in which ties, mults, outputs of a matrix, dummies and cords
// are all about as many as it takes.
func (r *room) crowd() {
	r.bay("main", "bantam", 40, 0, "{}")
	r.bays[0] = "  main: {pairs: 40, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: half-normal, 5-40: isolated}}"
	r.bay("far", "bantam", 20, 400, "isolated")
	about := func(n int) int { return max(0, n+(r.IntN(6)+1)/6-(r.IntN(6)+1)/6) }
	ties, splits, quiet, through := r.between(1, 3), r.between(0, 1), r.between(0, 2), r.between(1, 2)
	for i := range quiet {
		r.source(fmt.Sprintf("main/t%d", i+1))
		r.silents = append(r.silents, r.input(fmt.Sprintf("main/b%d", i+1)))
	}
	for i := range about(splits) {
		r.multed = append(r.multed, fmt.Sprintf("[main/t%d, main/b%d, main/t%d, main/b%d]", 40-2*i, 40-2*i, 39-2*i, 39-2*i))
	}
	for i := range about(ties) {
		r.tied = append(r.tied, fmt.Sprintf("main/t%d = far/t%d", 24+i, 14+i))
	}
	outs := max(1, about(through))
	r.matrices = append(r.matrices, fmt.Sprintf("  grid: {inputs: %d, outputs: %d}", through, outs))
	for i := range through {
		r.wires = append(r.wires, fmt.Sprintf("main/b%d -> grid/in%d", 28+i, i+1))
	}
	for i := range outs {
		r.wires = append(r.wires, fmt.Sprintf("grid/out%d -> far/t%d", i+1, 18+i))
	}
	at := 5
	for range ties + through {
		r.want(r.source(fmt.Sprintf("main/t%d", at)), "", r.input(fmt.Sprintf("far/b%d", at)))
		at++
	}
	for range splits {
		r.want(r.source(fmt.Sprintf("main/t%d", at)), "", r.input(fmt.Sprintf("main/b%d", at)), r.input(fmt.Sprintf("main/b%d", at+1)))
		at += 2
	}
	for range r.IntN(3) {
		r.want(r.source(fmt.Sprintf("main/t%d", at)), "", r.input(fmt.Sprintf("main/b%d", at)))
		at++
	}
	r.dummyCount = r.IntN(quiet + 1)
	r.stockOf(max(1, about(2*(ties+through)+3*splits+quiet-r.dummyCount+2)), 60, "")
}
