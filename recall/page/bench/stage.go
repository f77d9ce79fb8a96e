package bench

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// stage is where the lessons are given: a pair whose normal carries an output to
// an input, the jack of another output, and that of another input.
type stage struct {
	top, bottom          name.Point
	source, destination  name.Point
	otherTop, other      name.Point
	thirdBottom, another name.Point
}

// ends are a pair's jacks with the gear output wired behind the top one and the
// gear input behind the bottom one, where they are.
type ends struct {
	top, bottom name.Point
	out, in     name.Point
}

// setting finds a stage in a studio, first with gear that is all different, so
// that a cord of a lesson makes no loop.
func setting(of *studio.Studio) (stage, bool) {
	pairs := wired(of)
	for _, strict := range []bool{true, false} {
		for _, p := range pairs {
			if p.out.IsZero() || p.in.IsZero() || p.out.Owner == p.in.Owner {
				continue
			}
			if s, ok := around(of, p, pairs, strict); ok {
				return s, true
			}
		}
	}
	return stage{}, false
}

func around(of *studio.Studio, p ends, pairs []ends, strict bool) (stage, bool) {
	s := stage{top: p.top, bottom: p.bottom, source: p.out, destination: p.in}
	used := []string{p.out.Owner, p.in.Owner}
	apart := func(q name.Point) bool { return !strict || !slices.Contains(used, q.Owner) && !letsThrough(of, q) }
	at := slices.IndexFunc(pairs, func(q ends) bool { return q != p && !q.out.IsZero() && apart(q.out) })
	if at < 0 {
		return s, false
	}
	second := pairs[at]
	s.otherTop, s.other = second.top, second.out
	used = append(used, second.out.Owner)
	at = slices.IndexFunc(pairs, func(q ends) bool {
		return q != p && q != second && !q.in.IsZero() && apart(q.in) && !sounds(of, q.in)
	})
	if at < 0 {
		return s, false
	}
	s.thirdBottom, s.another = pairs[at].bottom, pairs[at].in
	return s, true
}

// letsThrough says whether a port's gear may bring back what it is given, as a
// recorder does that monitors its input.
func letsThrough(of *studio.Studio, at name.Point) bool {
	return slices.ContainsFunc(of.Gear, func(g studio.Gear) bool { return g.Name == at.Owner && len(g.CanPass) > 0 })
}

// sounds says whether a port belongs to what somebody listens to.
func sounds(of *studio.Studio, at name.Point) bool {
	return slices.ContainsFunc(of.Gear, func(g studio.Gear) bool { return g.Name == at.Owner && g.Role != studio.RoleUnsaid })
}

// wired are the pairs of all bays that work, with the gear behind them.
func wired(of *studio.Studio) []ends {
	from, to := map[name.Point]name.Point{}, map[name.Point]name.Point{}
	for _, w := range of.Wires {
		from[w.To], to[w.From] = w.From, w.To
	}
	out, in := ports(of, studio.Output), ports(of, studio.Input)
	var all []ends
	for _, b := range of.Bays {
		for n := 1; n <= b.Pairs(); n++ {
			p := ends{top: b.TopJack(n), bottom: b.BottomJack(n)}
			if slices.Contains(of.Faulty, p.top) || slices.Contains(of.Faulty, p.bottom) || slices.Contains(of.FaultyNormals, p.top) {
				continue
			}
			if at := from[p.top]; out[at] {
				p.out = at
			}
			if at := to[p.bottom]; in[at] {
				p.in = at
			}
			all = append(all, p)
		}
	}
	return all
}

func ports(of *studio.Studio, d studio.Direction) map[name.Point]bool {
	all := map[name.Point]bool{}
	for _, p := range of.Ends(d) {
		all[p] = true
	}
	return all
}

// switching is where the lesson of the crosspoint is given: one output of a matrix
// to an input of gear, and two of its inputs from gear.
type switching struct {
	contacts             bool
	output, one, two     name.Point
	destination          name.Point
	oneSource, twoSource name.Point
}

func matrixStage(of *studio.Studio) (switching, bool) {
	from, to := map[name.Point]name.Point{}, map[name.Point]name.Point{}
	for _, w := range of.Wires {
		from[w.To], to[w.From] = w.From, w.To
	}
	out, in := ports(of, studio.Output), ports(of, studio.Input)
	for _, m := range of.Matrices {
		for o := 1; o <= m.Outputs; o++ {
			s := switching{contacts: m.Kind == studio.Contacts, output: m.Out(o), destination: to[m.Out(o)]}
			if !in[s.destination] || sounds(of, s.destination) {
				continue
			}
			var inputs []name.Point
			for i := 1; i <= m.Inputs; i++ {
				source := from[m.In(i)]
				absent := slices.Contains(m.Missing, studio.Absent{Output: m.Out(o), Input: m.In(i)})
				if out[source] && source.Owner != s.destination.Owner && !absent {
					inputs = append(inputs, m.In(i))
				}
			}
			if len(inputs) < 2 {
				continue
			}
			s.one, s.two = inputs[0], inputs[1]
			s.oneSource, s.twoSource = from[s.one], from[s.two]
			return s, true
		}
	}
	return switching{}, false
}
