package rooms

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Features counts what a room holds, by the words of the trade, so that a
// property can say what it has been tried on. Kinds of which it holds none are
// counted too, at 0.
func (r Room) Features() map[string]int {
	counts := map[string]int{
		"strapped normal": len(r.Studio.Normals),
		"dead normal":     len(r.Studio.FaultyNormals),
		"tie":             count(r.Studio.Ties, func(t studio.Tie) bool { return t.A.Owner != "box" }),
		"mult":            len(r.Studio.Mults),
		"dummy":           len(r.Patch.Dummies),
		"lead":            len(r.Patch.Leads),
		"rest cord":       len(r.Studio.Rest.Cords),
		"box":             len(r.Studio.Boxes),
		"lead in a box": count(r.Patch.Leads, func(l patch.Lead) bool {
			return slices.Contains(sockets(r.Studio), l.Jack)
		}),
		"inside way":      len(r.Inside),
		"guest":           len(r.Guests),
		"lead of a guest": count(r.Patch.Leads, func(l patch.Lead) bool { return l.Port.Owner == "guest" }),
		"lead into loose gear": count(r.Patch.Leads, func(l patch.Lead) bool {
			return slices.ContainsFunc(r.Guests, func(g studio.Gear) bool { return g.Name == l.Jack.Owner })
		}),
		"switch turned":  len(r.Selections),
		"second bay":     len(r.Studio.Bays) - 1,
		"third bay":      max(0, len(r.Studio.Bays)-2),
		"jacks above 24": max(0, len(jacks(r.Studio))-24),
	}
	for _, mode := range []studio.Mode{studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop, studio.Isolated, studio.Parallel} {
		counts[mode.String()+" pair"] = 0
	}
	for _, ground := range []studio.Ground{studio.Separate, studio.Bussed, studio.Strapped} {
		counts[ground.String()+" sleeves"] = 0
	}
	for _, bay := range r.Studio.Bays {
		counts[bay.Ground.String()+" sleeves"]++
		for _, mode := range bay.Modes {
			counts[mode.String()+" pair"]++
		}
	}
	cords(counts, r.Patch)
	r.crosspoints(counts)
	r.inner(counts)
	return counts
}

func cords(counts map[string]int, p patch.Patch) {
	for _, what := range []string{"cord", "loose cord", "TS cord"} {
		counts[what] += 0
	}
	for _, c := range p.Cords {
		if c.B.IsZero() {
			counts["loose cord"]++
		} else {
			counts["cord"]++
		}
		if c.Poles == 2 {
			counts["TS cord"]++
		}
	}
}

func (r Room) crosspoints(counts map[string]int) {
	for _, kind := range []string{"relay", "letting amplifier", "driving amplifier"} {
		counts[kind+" crosspoint"] = 0
	}
	counts["letting amplifier off"], counts["driving amplifier off"], counts["two inputs on a relay output"] = 0, 0, 0
	counts["outputs switched together"], counts["missing crosspoint"] = 0, 0
	for _, m := range r.Studio.Matrices {
		counts["missing crosspoint"] += len(m.Missing)
		counts["outputs switched together"] += count(m.Stereo, func(g []name.Point) bool { return len(r.Patch.Inputs(g[0])) > 0 })
		counts[kind(m)+" crosspoint"] += len(r.Patch.Of(m.Name))
		for n := 1; n <= m.Outputs; n++ {
			switch on := len(r.Patch.Inputs(m.Out(n))); {
			case m.Kind != studio.Contacts && on == 0:
				counts[kind(m)+" off"]++
			case on > 1:
				counts["two inputs on a relay output"]++
			}
		}
	}
}

// inner counts what is special in gear: passes that a switch has cut, and
// inputs that are taken over.
func (r Room) inner(counts map[string]int) {
	counts["pass cut by a switch"], counts["input taken over"] = 0, 0
	for _, g := range r.Whole().Gear {
		for _, s := range g.Selects {
			counts["pass cut by a switch"] += count(g.Passes, func(p studio.Pass) bool { return slices.Contains(s.Choices[1], p.Out) })
		}
		for _, s := range g.Overrides {
			counts["input taken over"] += count(r.Patch.Leads, func(l patch.Lead) bool { return l.Port == s.Front }) +
				count(r.Studio.Wires, func(w studio.Wire) bool { return w.To == s.Front })
		}
	}
}

func count[T any](all []T, fits func(T) bool) int {
	n := 0
	for _, one := range all {
		if fits(one) {
			n++
		}
	}
	return n
}

func kind(m studio.Matrix) string {
	switch {
	case m.Kind == studio.Contacts:
		return "relay"
	case m.HighImpedance:
		return "letting amplifier"
	default:
		return "driving amplifier"
	}
}
