package houses

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// Clos is a network of three stages (Clos 1953, "A study of non-blocking
// switching networks", Bell System Technical Journal 32): R entries of N inputs
// and M outputs, M matrices of R x R in the middle, R exits of M inputs and N
// outputs; each entry has one wire to each middle one, and each of those one to
// each exit. Its inputs and outputs are counted from 0 here, entry by entry.
type Clos struct {
	N, M, R  int
	Contacts bool
}

func (c Clos) lines() []string {
	kind := ""
	if c.Contacts {
		kind = ", kind: contacts"
	}
	var all []string
	add := func(stage string, count, inputs, outputs int) {
		for i := 1; i <= count; i++ {
			all = append(all, fmt.Sprintf("  %s%d: {inputs: %d, outputs: %d%s}", stage, i, inputs, outputs, kind))
		}
	}
	add("entry", c.R, c.N, c.M)
	add("middle", c.M, c.R, c.R)
	add("exit", c.R, c.M, c.N)
	return all
}

func (c Clos) wires() []string {
	var all []string
	for i := 1; i <= c.R; i++ {
		for m := 1; m <= c.M; m++ {
			all = append(all,
				fmt.Sprintf("entry%d/out%d -> middle%d/in%d", i, m, m, i),
				fmt.Sprintf("middle%d/out%d -> exit%d/in%d", m, i, i, m))
		}
	}
	return all
}

// inputs and outputs are those of the whole network, in order.
func (c Clos) inputs() []string {
	var all []string
	for i := 1; i <= c.R; i++ {
		all = append(all, ports(fmt.Sprintf("entry%d/in", i), 1, c.N)...)
	}
	return all
}

func (c Clos) outputs() []string {
	var all []string
	for i := 1; i <= c.R; i++ {
		all = append(all, ports(fmt.Sprintf("exit%d/out", i), 1, c.N)...)
	}
	return all
}

// Studio is the file of a studio that is the network alone: each input is wired
// from a source, each output to a destination, and there is no bay.
func (c Clos) Studio() []byte {
	wires := c.wires()
	for i, in := range c.inputs() {
		wires = append(wires, fmt.Sprintf("%s -> %s", c.Source(i), in))
	}
	for i, out := range c.outputs() {
		wires = append(wires, fmt.Sprintf("%s -> %s", out, c.Destination(i)))
	}
	return fmt.Appendf(nil, "studio: three stages\ngear:\n  stage: {outputs: {out1-%[1]d: pro-line}}\n  hall: {inputs: {in1-%[1]d: pro-line}}\nmatrices:\n%s\nwiring:\n  - %s\n",
		c.Width(), strings.Join(c.lines(), "\n"), strings.Join(wires, "\n  - "))
}

// Width is how many inputs the network has, and how many outputs.
func (c Clos) Width() int { return c.N * c.R }

// Source is the output of gear before an input of the network.
func (c Clos) Source(i int) name.Point { return name.At("stage", "out", i+1) }

// Destination is the input of gear behind an output.
func (c Clos) Destination(i int) name.Point { return name.At("hall", "in", i+1) }

// Route is the patch that carries one source to each destination: source[i] to
// destination i, each source once. M must be N or more: the connections are
// parted into N sets that each have one of each entry and one of each exit, and
// each set goes through one matrix in the middle (Slepian 1952 and Duguid 1959,
// by the theorem of König 1916; from memory). It takes time cubic in the width.
func (c Clos) Route(source []int) patch.Patch {
	left := make([]bool, len(source))
	for i := range left {
		left[i] = true
	}
	var p patch.Patch
	for m := range c.N {
		for _, d := range c.matching(source, left) {
			left[d] = false
			c.carry(&p, source[d], m, d)
		}
	}
	p.Sort()
	return p
}

// matching is one destination of each exit, no two from one entry, of those left
// (Kuhn 1955).
func (c Clos) matching(source []int, left []bool) []int {
	of := make([]int, c.R) // the destination that an entry serves
	for i := range of {
		of[i] = -1
	}
	var serve func(exit int, seen []bool) bool
	serve = func(exit int, seen []bool) bool {
		for d := exit * c.N; d < (exit+1)*c.N; d++ {
			entry := source[d] / c.N
			if !left[d] || seen[entry] {
				continue
			}
			seen[entry] = true
			if of[entry] < 0 || serve(of[entry]/c.N, seen) {
				of[entry] = d
				return true
			}
		}
		return false
	}
	for exit := range c.R {
		serve(exit, make([]bool, c.R))
	}
	return of
}

// carry adds the crosspoints from a source to a destination by a matrix in the
// middle; those that are closed already stay so.
func (c Clos) carry(p *patch.Patch, source, middle, destination int) {
	entry, exit := source/c.N, destination/c.N
	for _, x := range []patch.Crosspoint{
		{Output: name.At(fmt.Sprint("entry", entry+1), "out", middle+1), Input: name.At(fmt.Sprint("entry", entry+1), "in", source%c.N+1)},
		{Output: name.At(fmt.Sprint("middle", middle+1), "out", exit+1), Input: name.At(fmt.Sprint("middle", middle+1), "in", entry+1)},
		{Output: name.At(fmt.Sprint("exit", exit+1), "out", destination%c.N+1), Input: name.At(fmt.Sprint("exit", exit+1), "in", middle+1)},
	} {
		if !slices.Contains(p.Crosspoints, x) {
			p.Crosspoints = append(p.Crosspoints, x)
		}
	}
}

// Spread draws sources that fan out, each destination having one or none, with a
// patch that carries them: source[i] is heard at destination i; -1 for none.
func (c Clos) Spread(seed uint64) (source []int, p patch.Patch) {
	d := dice{rand.New(rand.NewPCG(seed, 0x636c6f73))}
	source = make([]int, c.Width())
	feeds := map[[2]int]int{}  // the source on a wire from entry to middle
	leaves := map[[2]int]int{} // and on one from middle to exit
	free := func(on map[[2]int]int, wire [2]int, s int) bool {
		had, used := on[wire]
		return !used || had == s
	}
	few := d.between(max(1, c.Width()/3), c.Width()) // sources
	sources := d.Perm(c.Width())[:few]
	for _, to := range d.Perm(c.Width()) {
		source[to] = -1
		s := one(d, sources)
		for _, m := range d.Perm(c.M) {
			in, out := [2]int{s / c.N, m}, [2]int{m, to / c.N}
			if free(feeds, in, s) && free(leaves, out, s) {
				feeds[in], leaves[out], source[to] = s, s, s
				c.carry(&p, s, m, to)
				break
			}
		}
	}
	p.Sort()
	return source, p
}
