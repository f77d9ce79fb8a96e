package suspect

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/reading"
)

// Probe is a listening plug: a cord that is put in only to hear more. It joins a jack at
// which a signal is to be listened to, and one that leads to an input of the device: one
// that hears nothing, or whose own signal is done without for the moment. Where no free
// jack tells enough, a cord that may be at fault comes out, and the plug goes into its
// jack: what is heard then was carried up to there.
type Probe struct {
	At, Into name.Point
	// Instead is the cord that comes out for it, from At; the zero value is none.
	Instead patch.Cord
	// Left is at how many places the causes are on average once it was listened to.
	Left float64
	// Occupied says that by one of the causes a plug is in At or Into already: to find it
	// there is an answer as well.
	Occupied bool

	// told is the scene without the plug, scene with it; input is the one that it leads to.
	told, scene *Scene
	input       int
	// pictures are those of the causes; there says of which a plug is in At or Into.
	pictures [][]Class
	there    []bool
}

// Limits of the search: causes that are told apart, and jacks that are tried.
const (
	mostCauses = 12
	mostProbes = 160
)

// leastGain is by how much a probe must lower the places that are left to be worth it. A
// cord that must come out for it has to lower them more.
const (
	leastGain = 0.05
	pullGain  = 0.2
)

// Probe is the listening plug that leaves a finding's causes at the fewest places; false
// where none leaves fewer. It takes nothing from inputs that the finding is not about, and
// touches no line on which phantom power may be. Top jacks come first: at a half-normal
// they only tap. It takes the time of hearing the room for each jack that is tried and each
// cause.
func (c *Scene) Probe(f Finding) (best Probe, found bool) {
	causes := f.causes()
	causes = causes[:min(len(causes), mostCauses)]
	into, input, any := c.freeInput(f)
	if f.Guess || Places(causes) < 2 || !any {
		return best, false
	}
	best.Left = float64(Places(causes))
	try := func(p Probe, gain float64, able bool) {
		if !able {
			return
		}
		if p.Left = placesLeft(p.groups(causes)); p.Left < best.Left-gain {
			best, found = p, true
		}
	}
	for _, at := range c.probed(causes, into) {
		p, able := tap(c, patch.Cord{A: at, B: into}, input, causes)
		try(p, leastGain, able)
	}
	for _, cord := range c.accused(causes) {
		for _, at := range cord.Ends() {
			p, able := without(c, cord, patch.Cord{A: at, B: into}, f, causes)
			try(p, pullGain, able)
		}
	}
	return best, found
}

// groups parts causes by what comes of the probe.
func (p Probe) groups(causes []Mistake) [][]Mistake {
	var there, read []Mistake
	var pictures [][]Class
	for n, m := range causes {
		if p.there[n] {
			there = append(there, m)
			continue
		}
		read, pictures = append(read, m), append(pictures, p.pictures[n])
	}
	groups := grouped(read, pictures)
	if len(there) > 0 {
		groups = append(groups, there)
	}
	return groups
}

// Patch is what is told once the plug is in.
func (p Probe) Patch() patch.Patch { return p.scene.Patch }

// Narrow is the finding with those of its causes alone that give what was read with the
// plug in. Where none does it stays as it is.
func (p Probe) Narrow(f Finding, paths [][]reading.Path) Finding {
	all, able := p.of(f, f.causes())
	if !able {
		return f
	}
	var causes []Mistake
	var pictures [][]Class
	for n, m := range f.causes() {
		if !all.there[n] { // else its jack was free
			causes, pictures = append(causes, m), append(pictures, all.pictures[n])
		}
	}
	if len(causes) == 0 {
		return f
	}
	f.Mistake, f.OrElse = causes[0], causes[1:]
	return p.scene.narrow(f, pictures, p.scene.Judge(paths))
}

// of is the probe with the pictures of other causes.
func (p Probe) of(f Finding, causes []Mistake) (all Probe, able bool) {
	plug := patch.Cord{A: p.At, B: p.Into}
	if p.Instead != (patch.Cord{}) {
		return without(p.told, p.Instead, plug, f, causes)
	}
	return tap(p.told, plug, p.input, causes)
}

// tap is a probe at a free jack; false where it takes away, or lowers, what other inputs
// hear without it. Causes by which that jack holds a plug are told by the eye.
func tap(c *Scene, plug patch.Cord, input int, causes []Mistake) (p Probe, able bool) {
	p = Probe{At: plug.A, Into: plug.B, told: c, input: input, scene: replugged(c, patch.Cord{}, plug)}
	for at, class := range c.base {
		if at/len(c.Outputs) != input && class != Absent && p.scene.base[at] != class {
			return p, false
		}
	}
	for _, m := range causes {
		strays := m.strays(plug.A) || m.strays(plug.B)
		switch {
		case strays:
			p.Occupied = true
			p.pictures = append(p.pictures, nil)
		case m.room != nil || slices.Contains(m.At, plug.A) || slices.Contains(m.At, plug.B):
			return p, false
		default:
			p.pictures = append(p.pictures, legible(p.scene, m))
		}
		p.there = append(p.there, strays)
	}
	return p, true
}

// strays says whether by a mistake a plug is in a jack that should be free.
func (m Mistake) strays(jack name.Point) bool {
	switch m.Code {
	case CordBeside, CordElsewhere:
		return slices.Contains(m.At[2:], jack)
	case ExtraCord:
		return slices.Contains(m.At, jack)
	}
	return false
}

// without is a probe with a cord out and a plug in one of its jacks; false where outputs
// would be joined, a loop closed, a line with phantom power touched, or where an input that
// the finding is not about loses anything. What was wrong with that cord is out with it.
func without(c *Scene, cord, plug patch.Cord, f Finding, causes []Mistake) (p Probe, able bool) {
	if plug.A.Owner != plug.B.Owner || c.powered(plug.A) || slices.Contains(cord.Ends(), plug.B) {
		return p, false
	}
	p = Probe{At: plug.A, Into: plug.B, Instead: cord, told: c, scene: replugged(c, cord, plug)}
	if p.scene.live.Contended() && !c.live.Contended() || len(p.scene.live.Loops(p.scene.perhaps, nil)) > len(c.live.Loops(c.perhaps, nil)) {
		return p, false
	}
	for at, class := range c.base {
		in := c.Inputs[at/len(c.Outputs)]
		about := slices.ContainsFunc(f.Pairs, func(h Heard) bool { return h.Input == in }) || slices.Contains(c.live.Onward(plug.B, nil), in)
		if !about && class != Absent && p.scene.base[at] != class {
			return p, false
		}
	}
	for _, m := range causes {
		strays := m.strays(plug.B)
		p.there, p.Occupied = append(p.there, strays), p.Occupied || strays
		switch {
		case strays:
			p.pictures = append(p.pictures, nil)
		case m.room != nil || slices.Contains(m.At, plug.B):
			return p, false
		case m.Code == CordsSwapped && m.Concerns(cord):
			was, is := m.other(cord, plug.A)
			p.pictures = append(p.pictures, legibly(p.scene, p.scene.with(was, is)))
		case m.Concerns(cord):
			p.pictures = append(p.pictures, legibly(p.scene, slices.Clone(p.scene.base)))
		case slices.Contains(m.in.Plugs(), plug.A):
			return p, false
		default:
			p.pictures = append(p.pictures, legible(p.scene, m))
		}
	}
	return p, true
}

// other is what is left of a swap once the cord is out whose plug is in a jack: the other
// one, with the end that is not its own, in place of the one that was told beside a cord.
func (m Mistake) other(out patch.Cord, jack name.Point) (was, is patch.Patch) {
	told := slices.IndexFunc(m.out.Cords, func(c patch.Cord) bool { return !c.Same(out) })
	left := slices.IndexFunc(m.in.Cords, func(c patch.Cord) bool { return !slices.Contains(c.Ends(), jack) })
	return cords(m.out.Cords[told]), cords(m.in.Cords[left])
}

// replugged is the scene with one cord out, the zero value for none, and another one in.
func replugged(c *Scene, out, in patch.Cord) *Scene {
	with := c.Setup
	with.Patch = c.Patch.Clone()
	with.Patch.Cords = append(slices.DeleteFunc(with.Patch.Cords, out.Same), in)
	return New(with)
}

// legible is the picture of a mistake as far as it can be read.
func legible(c *Scene, m Mistake) []Class { return legibly(c, c.predict(m, map[patch.Cord][]int{})) }

func legibly(c *Scene, picture []Class) []Class {
	for at, class := range picture {
		picture[at] = c.readable(at, class)
	}
	return picture
}
