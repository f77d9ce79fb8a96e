package problem

import (
	"slices"

	"bayhand/model/graph"
)

// Usable says whether a plan may plug anything in a jack.
func (t *Problem) Usable(j int) bool { return !t.Jacks[j].Faulty }

// Useful says whether a driver can carry what the session asks for.
func (t *Problem) Useful(driver int) bool {
	s, ok := t.SourceAt(driver)
	if !ok {
		return len(t.Wanted) > 0
	}
	_, found := slices.BinarySearch(t.Wanted, s)
	return found
}

// EndsAt says whether a plug in a jack stands alone on its node: nothing else
// there leads on, and nothing drives it.
func (t *Problem) EndsAt(j int) bool {
	n := t.Jacks[j].Node
	at := &t.Nodes[n]
	if len(t.Always(n)) > 0 || len(at.Ports) > 0 || t.Relays(n) || t.Floats(n) {
		return false
	}
	for _, k := range at.Jacks {
		if k != j && t.Usable(k) {
			return false
		}
	}
	for _, m := range at.Normals {
		if !t.Normals[m].Breaks(j) {
			return false
		}
	}
	return true
}

// Guards says whether a plug in a jack could be needed for a normal that it
// breaks: not where the normal would only let an input hear what it may.
func (t *Problem) Guards(j int) bool {
	for _, m := range t.Jacks[j].Normals {
		if t.Normals[m].Breaks(j) && t.WorthBreaking(t.Normals[m], j) {
			return true
		}
	}
	return false
}

// WorthBreaking says whether a plug in a jack that breaks a normal could be needed
// for that.
func (t *Problem) WorthBreaking(m graph.Normal, j int) bool {
	a, b := t.Jacks[m.A].Node, t.Jacks[m.B].Node
	drivesA, drivesB := t.Always(a), t.Always(b)
	switch {
	case a == b:
		return false
	case len(drivesA) > 0 && len(drivesB) > 0:
		return true
	case len(drivesA) > 0:
		return !t.OnlyByNormal(m, m.B, j) || t.forbidsDriver(b, drivesA[0])
	case len(drivesB) > 0:
		return !t.OnlyByNormal(m, m.A, j) || t.forbidsDriver(a, drivesB[0])
	}
	return true
}

// OnlyByNormal says whether the node of a jack at the end of a normal has nothing else
// that could drive it while the normal would hold but for the plug in j.
func (t *Problem) OnlyByNormal(m graph.Normal, end, j int) bool {
	n := t.Jacks[end].Node
	at := &t.Nodes[n]
	if len(at.Normals) > 1 || len(at.Ports) > 0 || t.Relays(n) || t.Floats(n) {
		return false
	}
	for _, k := range at.Jacks {
		if t.Usable(k) && k != j && !m.Breaks(k) {
			return false
		}
	}
	return true
}

func (t *Problem) forbidsDriver(n, driver int) bool {
	if s, ok := t.SourceAt(driver); ok {
		return t.Forbids(n, s)
	}
	return slices.ContainsFunc(t.Wanted, func(s int) bool { return t.Forbids(n, s) })
}
