package arrange

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"bayhand/model/studio"
)

// tiny draws a room of a few outputs and inputs, whose gear passes what makes
// cycles in about a third of the rooms.
func tiny(random *rand.Rand) *problem {
	d := &demand{outputs: 1 + random.IntN(5), inputs: 1 + random.IntN(5)}
	owner := func(kind string, n int) int { return (n*7 + len(kind)) % 3 }
	d.alien = func(o, i int) bool { return owner("mic", o) == 2 && owner("line", i) == 1 }
	d.isolated = func(o, i int) bool { return owner("out", o) == owner("in", i) }
	insert := pairing{random.IntN(d.outputs), random.IntN(d.inputs)}
	has := random.IntN(3) == 0 && !d.alien(insert.output, insert.input)
	d.halved = func(o, i int) bool { return has && insert == pairing{o, i} }
	for range 1 + random.IntN(4) {
		d.weights = append(d.weights, 1+random.Int64N(3))
		wants, silent := make([][]int, d.outputs), make([]bool, d.inputs)
		for i := range d.inputs {
			switch random.IntN(4) {
			case 0:
				silent[i] = true
			case 1:
			default:
				o := random.IntN(d.outputs)
				wants[o] = append(wants[o], i)
			}
		}
		d.wants, d.silent = append(d.wants, wants), append(d.silent, silent)
	}
	p := &problem{demand: d, limit: 1 << 20, passes: make([][]int, d.inputs), canPass: make([][]int, d.inputs)}
	p.columns = max(d.outputs, d.inputs) + random.IntN(3)
	p.tie = func(o, i int) int64 { return int64((o*5 + i*3 + 8) % 4) }
	for i := range d.inputs {
		for o := range d.outputs {
			switch random.IntN(6) {
			case 0, 1:
				p.passes[i] = append(p.passes[i], o)
			case 2:
				p.canPass[i] = append(p.canPass[i], o)
			}
		}
	}
	return p
}

// brute tries every matching of all columns and every choice of mode.
func brute(p *problem) (least int64) {
	d := p.demand
	used := make([]bool, p.columns)
	least = forbidden
	var place func(r int, sum int64, below []int)
	place = func(r int, sum int64, below []int) {
		if sum >= least {
			return
		}
		if r == p.columns {
			if cycleByHand(below, p.passes, nil) {
				return
			}
			if cycleByHand(below, p.passes, p.canPass) {
				for _, w := range d.weights {
					sum += w
				}
			}
			least = min(least, sum)
			return
		}
		o := orNone(r, d.outputs)
		for c := range p.columns {
			if used[c] {
				continue
			}
			i := orNone(c, d.inputs)
			used[c] = true
			for m, cost := range d.column(o, i) {
				if cost >= forbidden {
					continue
				}
				next := append(clone(below), none)
				if o != none && isNormal(studio.Mode(m)) {
					next[r] = i
				}
				place(r+1, sum+2*cost, next)
			}
			used[c] = false
		}
	}
	place(0, 0, nil)
	return least
}

// cycleByHand looks for a cycle by closing the relation, without the way that the
// product goes.
func cycleByHand(below []int, passes, more [][]int) bool {
	n := len(below)
	leads := make([][]bool, n)
	for o := range leads {
		leads[o] = make([]bool, n)
		if i := below[o]; i != none {
			for _, to := range passes[i] {
				leads[o][to] = true
			}
			if more != nil {
				for _, to := range more[i] {
					leads[o][to] = true
				}
			}
		}
	}
	for k := range n {
		for a := range n {
			for b := range n {
				leads[a][b] = leads[a][b] || leads[a][k] && leads[k][b]
			}
		}
	}
	for o := range n {
		if leads[o][o] {
			return true
		}
	}
	return false
}

// rooms is how many tiny rooms are tried; BAYHAND_ROOMS says otherwise.
func rooms(usual int) int {
	if n, err := strconv.Atoi(os.Getenv("BAYHAND_ROOMS")); err == nil {
		return n
	}
	return usual
}

// The matching is the cheapest of all, in tiny rooms with cycles in a third of
// them, and its bound is its cost. A cycle that only a switch could close costs
// half a plug a session.
func TestMatchIsTheCheapest(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 12))
	branched, soft := 0, 0
	for room := range rooms(120) {
		p := tiny(random)
		got := p.match()
		want := brute(p)
		if got.impossible != (want >= forbidden) {
			t.Fatalf("room %d: impossible is %v, and the cheapest has %d", room, got.impossible, want)
		}
		if got.impossible {
			continue
		}
		cost, below, wished := int64(0), blanks(p.demand.outputs), blanks(p.demand.outputs)
		for n, c := range got.columns {
			cost += 2 * p.column(c.output, c.input)[got.modes[n]]
			if isNormal(got.modes[n]) {
				below[c.output] = c.input
			}
			if mode, _ := p.column(c.output, c.input).best(true); isNormal(mode) {
				wished[c.output] = c.input
			}
		}
		switch {
		case cycleByHand(below, p.passes, nil):
			t.Fatalf("room %d: the normals make a cycle", room)
		case cycleByHand(wished, p.passes, nil):
			branched++
		case cycleByHand(below, p.passes, p.canPass):
			soft++
		}
		if cycleByHand(below, p.passes, p.canPass) {
			for _, w := range p.demand.weights {
				cost += w
			}
		}
		if cost != want || got.halves != want || got.least != want {
			t.Fatalf("room %d: %d half plugs, said to be %d and at least %d; the cheapest has %d", room, cost, got.halves, got.least, want)
		}
	}
	t.Logf("%d rooms branched on a cycle, %d have one that a switch could close", branched, soft)
	if branched < 5 || soft < 5 {
		t.Error("too few rooms have a cycle")
	}
}

func BenchmarkMatch(b *testing.B) {
	for _, n := range []int{24, 48, 192, 800} {
		random := rand.New(rand.NewPCG(uint64(n), 1))
		p := tiny(random)
		d := p.demand
		d.outputs, d.inputs, p.columns = n*3/4, n*3/4, n
		d.alien, d.isolated = func(o, i int) bool { return false }, func(o, i int) bool { return o%9 == i%9 }
		d.weights, d.wants, d.silent = nil, nil, nil
		for range 6 {
			wants, silent := make([][]int, d.outputs), make([]bool, d.inputs)
			for i := range d.inputs {
				if o := random.IntN(2 * d.outputs); o < d.outputs {
					wants[o] = append(wants[o], i)
				}
			}
			d.weights, d.wants, d.silent = append(d.weights, 1), append(d.wants, wants), append(d.silent, silent)
		}
		p.passes, p.canPass = make([][]int, d.inputs), make([][]int, d.inputs)
		for i := range d.inputs {
			p.passes[i] = []int{(i * 5) % d.outputs}
		}
		p.limit = 10_000
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				p.match()
			}
		})
	}
}
