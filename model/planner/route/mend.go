package route

import (
	"slices"

	"bayhand/model/graph"
)

// mend takes faults away until there are none, or none can be, and returns the
// wants that are not heard then, those before whose way something else is wrong
// among them. It ends where much was taken from one want for another since the least was
// wrong: then wants take the same from each other in turn.
func (b *builder) mend(order []int) []int {
	clear(b.noWay)
	least, then := b.trial.Wrong(), b.forced
	for range steps {
		routed := b.bring(order, b.route)
		if cleaned := b.cleaner.cleanAll(); routed || cleaned {
			continue
		}
		if b.trial.Wrong() > 0 && b.bring(order, b.chains.bring) {
			continue
		}
		if b.trial.Wrong() < least {
			least, then = b.trial.Wrong(), b.forced
		}
		if b.trial.Wrong() == 0 || then-b.forced > forcesInVain || b.isHopeless() || !b.forceSome(order) {
			break
		}
	}
	if b.trial.Wrong() == 0 {
		return nil
	}
	if b.patience.astray {
		return b.unmet(order, b.astray())
	}
	return b.unmet(order, nil)
}

// forcesInVain bounds how often something is taken for another want while no less is wrong than
// before.
const forcesInVain = 36

// forcesBeforeAsking is how often something is taken for another want before it is asked
// whether there is no plan at all: most that is hard is settled by then, for less.
const forcesBeforeAsking = 12

// isHopeless asks once, when much was taken from one want for another, whether there is no
// plan at all.
func (b *builder) isHopeless() bool {
	if ask := b.hopeless; ask != nil && b.forcedSoFar > forcesBeforeAsking {
		b.hopeless = nil
		b.givesUp = ask(b.trial.Patch())
	}
	return b.givesUp
}

// bring brings what is wanted and not heard by the way that is said; false if it
// brings nothing.
func (b *builder) bring(order []int, by func(source, in int) bool) bool {
	any := false
	for _, w := range order {
		if b.told(); b.spent() {
			return false
		}
		if in, source := b.ends(w); !b.hearsAt(in, source) && by(source, in) {
			any = true
		}
	}
	return any
}

// forceSome takes something from one want for another, and where that changes nothing keeps
// something away at the cost of what the builder put in.
func (b *builder) forceSome(order []int) bool {
	before := b.changes
	any := b.bring(order, b.forceOne)
	return b.changes == before && b.forceCleanOne() || any
}

// forceOne is force as often as that may be.
func (b *builder) forceOne(source, in int) bool { return b.mayForce() && b.force(source, in) }

// mayForce says whether something may still be taken from one want for another,
// and counts it.
func (b *builder) mayForce() bool {
	b.forced--
	b.forcedSoFar++
	return b.forced >= 0
}

// forceCleanOne keeps something away at the cost of what the builder put in.
func (b *builder) forceCleanOne() bool {
	if b.spent() || !b.mayForce() {
		return false
	}
	for at := range b.trial.State.Nets() {
		if b.trial.FaultsOf[at] > 0 && b.cleaner.forceClean(at) {
			return true
		}
	}
	return false
}

func corded(parts []graph.Part) bool {
	return slices.ContainsFunc(parts, func(p graph.Part) bool { return p.Kind == graph.Cord })
}
