package cut

import (
	"fmt"
	"math"
	"slices"

	"bayhand/model/graph"
)

// least leaves out of a proof what it does not need: resources, those first that say
// little to a person, then demands, the later ones first, and some of their wants.
func (m *market) least() *Proof {
	l := lessening{market: m, demands: slices.Clone(m.demands)}
	l.equalPrices()
	l.leaveOut(l.groups())
	l.equalPrices()
	for more := true; more; {
		more = l.fewerDemands()
		more = l.leaveOut(l.groups()) || more
		more = l.leaveOut(l.singles()) || more
	}
	l.equalPrices()
	return l.proof()
}

// lessening is a proof that becomes smaller.
type lessening struct {
	market  *market
	demands []demand
}

// equalPrices makes all prices 1, or small whole numbers, where that proves it, too.
func (l *lessening) equalPrices() {
	was := slices.Clone(l.market.prices)
	least := math.Inf(1)
	for _, p := range was {
		if p > 0 {
			least = min(least, p)
		}
	}
	for _, unit := range []float64{math.Inf(1), least, least / 2, least / 4} {
		for r, p := range was {
			if l.market.prices[r] = 0; p > 0 {
				l.market.prices[r] = max(1, math.Round(p/unit))
			}
		}
		if l.market.proves(l.demands) {
			return
		}
	}
	copy(l.market.prices, was)
}

// leaveOut makes groups of resources free where the proof does without them.
func (l *lessening) leaveOut(groups [][]int) bool {
	more := false
	for _, g := range groups {
		was := make([]float64, len(g))
		any := false
		for i, r := range g {
			was[i], l.market.prices[r] = l.market.prices[r], 0
			any = any || was[i] > 0
		}
		if any && l.market.proves(l.demands) {
			more = true
			continue
		}
		for i, r := range g {
			l.market.prices[r] = was[i]
		}
	}
	return more
}

func (l *lessening) fewerDemands() bool {
	more := false
	for i := len(l.demands) - 1; i >= 0; i-- {
		if less := slices.Delete(slices.Clone(l.demands), i, i+1); len(less) > 0 && l.market.proves(less) {
			l.demands, more = less, true
			continue
		}
		for k := len(l.demands[i].wants) - 1; k >= 0 && len(l.demands[i].wants) > 1; k-- {
			less := slices.Clone(l.demands)
			if less[i] = l.demands[i].without(k); l.market.proves(less) {
				l.demands, more = less, true
			}
		}
	}
	return more
}

func (l *lessening) proof() *Proof {
	p := &Proof{}
	p.Need, p.Have = l.market.sums(l.demands)
	for i := range l.demands {
		cost, _ := l.market.cheapest(&l.demands[i])
		p.Demands = append(p.Demands, l.demands[i].told(cost))
	}
	for r, price := range l.market.prices {
		if price > 0 {
			p.Prices = append(p.Prices, l.market.told(r))
		}
	}
	return p
}

// singles are the resources that have a price, each for itself, in the order of what
// says least to a person.
func (l *lessening) singles() [][]int {
	var all [][]int
	for _, g := range l.groups() {
		for _, r := range g {
			all = append(all, []int{r})
		}
	}
	return all
}

// groups are the resources that have a price, those together that are of one kind and
// place. Jacks come first, then nodes that are no more than a jack with its gear: ties,
// mults, cords and outputs of a matrix say more. The metal of an output and what it switches
// are two: one of them is enough.
func (l *lessening) groups() [][]int {
	of := map[string][]int{}
	var keys []string
	for r, price := range l.market.prices {
		if price == 0 {
			continue
		}
		key := l.groupOf(r)
		if of[key] == nil {
			keys = append(keys, key)
		}
		of[key] = append(of[key], r)
	}
	slices.Sort(keys)
	var all [][]int
	for _, key := range keys {
		all = append(all, of[key])
	}
	return all
}

// groupOf is a word that sorts resources into groups, and the groups.
func (l *lessening) groupOf(r int) string {
	switch p := l.market.told(r); p.Kind {
	case OfJack:
		return "0 " + l.market.Owner(p.Number)
	case OfNode:
		return l.nodeGroup(p.Number)
	case OfOutput:
		return "4. " + l.market.Outputs[p.Number].Matrix
	case OfStock:
		return "5"
	case OfDummies:
		return "6"
	}
	return ""
}

func (l *lessening) nodeGroup(n int) string {
	m := l.market
	at := &m.Nodes[n]
	switch {
	case at.Mult:
		return "7"
	case len(at.Outputs) > 0:
		return "4 " + m.Outputs[at.Outputs[0]].Matrix
	case len(at.Ins) > 0:
		return "3 " + m.Outputs[m.Crosses[at.Ins[0]].Output].Matrix
	case len(at.Sources)+len(at.Inputs) > 0:
		return "1"
	case len(at.Jacks) > 1:
		owners := []string{m.Owner(at.Jacks[0]), m.Owner(at.Jacks[len(at.Jacks)-1])}
		return fmt.Sprint("8 ", owners)
	case len(at.Jacks) == 1:
		return "2 " + m.Owner(at.Jacks[0])
	}
	return fmt.Sprint("2 ", graph.None)
}
