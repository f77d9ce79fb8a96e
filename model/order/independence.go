package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// dependent says whether it matters in which order two actions are done: to outputs
// that are joined, to what is heard, or to loops.
func (z *zones) dependent(a, b *action) bool {
	p, q := z.of(a), z.of(b)
	return z.paths.lead(p, q) || z.paths.lead(q, p) || z.cycles.shared(p, q)
}

// mayBeHeard says whether what an action does may be heard or felt from gear, at any
// time, even as a click.
func (z *zones) mayBeHeard(a *action, g studio.Gear) bool {
	return z.possible.lead(z.of(a), z.inputsOf(g))
}

// mayThump says whether phantom power at some inputs may be heard from gear, at any time, as
// it comes on or goes off.
func (z *zones) mayThump(at []name.Point, g studio.Gear) bool {
	var zones []name.Point
	for _, p := range at {
		zones = append(zones, z.at(p))
	}
	return z.possible.lead(zones, z.inputsOf(g))
}

// clicksBy says whether the plugs of an action could click from gear by way of what
// another action changes.
func (z *zones) clicksBy(a, other *action, g studio.Gear) bool {
	return len(a.touched) > 0 && z.possible.lead(z.of(a), z.of(other)) && z.mayBeHeard(other, g)
}

// ordered says whether two actions are done in the order found, where some gear is
// muted anyway. Independent ones need not: two people and a matrix can work at once.
func (z *zones) ordered(a, b *action, quiet map[string]bool) bool {
	return z.dependent(a, b) || slices.ContainsFunc(z.facts.audible, func(g studio.Gear) bool {
		return !quiet[g.Name] && (z.clicksBy(a, b, g) || z.clicksBy(b, a, g))
	})
}
