package plan

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
)

// builder makes a draft that gives the session the way a person would: it looks
// at what is wrong with the present patch, mends one fault after the other, and
// takes no step that leaves more wrong than before. It proves nothing and may
// fail where a way exists; it is quick in rooms that are too large for a proof.
type builder struct {
	*task
	d draft
	// placed are the parts of the draft that the builder put in; all others may
	// be taken out.
	placed map[part]bool
	// reached are the jacks that a cord reaches from each, as far as was asked.
	reached map[int][]int
	trouble int
	faults  []heard.Fault
	state   *heard.State
}

// rounds bounds the faults that are mended one after the other.
const rounds = 400

// build looks for a draft that gives the session, from the present patch, then
// from the room at rest, then from an empty one; nil if none is found.
func (t *task) build() *found {
	var best *found
	starts := []draft{t.present}
	if rest, err := t.draft(t.studio.Rest); err == nil && !t.options.LeaveCords {
		starts = append(starts, rest, draft{})
	}
	reached := map[int][]int{}
	for _, start := range starts {
		if best != nil && len(t.jacks) > small {
			break // the room as it is will do
		}
		b := &builder{task: t, placed: map[part]bool{}, reached: reached}
		b.set(start.clone())
		if !b.mend() || !t.sound(b.d) || !t.gives(b.d) {
			continue
		}
		if f, ok := t.found(b.d); ok && (best == nil || f.score.less(best.score)) {
			best = f
		}
	}
	return best
}

// set takes a draft and looks at what is wrong with it.
func (b *builder) set(d draft) {
	d.sort()
	b.d = d
	b.state = b.room.Hear(b.patch(d))
	b.faults = b.judge.Faults(b.state)
	b.trouble = weigh(b.faults)
}

// weigh is how much is wrong: a want that is not heard weighs more than what can
// be kept away with a dummy afterwards.
func weigh(faults []heard.Fault) int {
	total := 0
	for _, f := range faults {
		switch f.Kind {
		case heard.NotHeard:
			total += 8
		case heard.Joined, heard.Howls:
			total += 4
		default:
			total++
		}
	}
	return total
}

// mend takes faults away until there are none, or none can be.
func (b *builder) mend() bool {
	for range rounds {
		if len(b.faults) == 0 {
			return true
		}
		if !slices.ContainsFunc(slices.Clone(b.faults), b.mendOne) {
			return false
		}
	}
	return false
}

// mendOne makes less wrong by mending one fault; false if it cannot.
func (b *builder) mendOne(f heard.Fault) bool {
	switch f.Kind {
	case heard.NotHeard:
		return b.route(f.Source, f.Destination)
	case heard.AlsoHeard, heard.NotSilent, heard.Intrudes:
		return b.part(f.Source, f.Destination)
	case heard.Joined:
		return b.partOutputs(f.Points)
	}
	return false
}

// try takes a draft if less is wrong with it.
func (b *builder) try(d draft) bool {
	before := *b
	if b.set(d); b.trouble < before.trouble && b.shelf.hall(b.d.cords) == nil {
		return true
	}
	*b = before
	return false
}

// part keeps a source away from a destination: it takes out what is on the way,
// or breaks a normal there with a dummy.
func (b *builder) part(source, destination name.Point) bool {
	for _, way := range b.state.Ways(destination) {
		if way.From == source && b.breakWay(way) {
			return true
		}
	}
	return false
}

// partOutputs parts outputs that are joined.
func (b *builder) partOutputs(outputs []name.Point) bool {
	for _, out := range outputs {
		for _, way := range b.state.Ways(out) {
			if way.To == out && b.breakWay(way) {
				return true
			}
		}
	}
	return false
}

// breakWay breaks a way at one of its steps, from its end on.
func (b *builder) breakWay(way heard.Way) bool {
	for i := len(way.Steps) - 1; i > 0; i-- {
		from, to := way.Steps[i-1].Point, way.Steps[i].Point
		switch way.Steps[i].By {
		case heard.ByCord, heard.ByLead, heard.ByCrosspoint:
			if b.takeOut(from, to) {
				return true
			}
		case heard.ByNormal, heard.ByStrap:
			if b.breakNormal(from, to) {
				return true
			}
		}
	}
	return false
}

// takeOut takes out what joins two points, unless the builder put it in.
func (b *builder) takeOut(from, to name.Point) bool {
	d := b.d.clone()
	i, j := b.number[from], b.number[to]
	d.cords = slices.DeleteFunc(d.cords, func(c [2]int) bool {
		return c[1] != nowhere && b.joins(b.jacks[c[0]].point, b.jacks[c[1]].point, i, j) && !b.placed[part{cordPart, c[0], c[1]}]
	})
	d.leads = slices.DeleteFunc(d.leads, func(l [2]int) bool {
		return b.joins(b.ports[l[0]], b.jacks[l[1]].point, i, j) && !b.placed[part{leadPart, l[0], l[1]}]
	})
	for at := 0; at < len(d.crosses); at++ {
		x := d.crosses[at]
		if b.joins(b.crosses[x].input, b.outputs[b.crosses[x].output].point, i, j) && !b.placed[part{crossPart, x, 0}] {
			d.crosses = b.open(d.crosses, at)
			break
		}
	}
	return b.try(d)
}

func (b *builder) joins(p, q, i, j int) bool { return p == i && q == j || p == j && q == i }

// breakNormal puts a dummy in a jack that breaks the normal between two jacks.
func (b *builder) breakNormal(from, to name.Point) bool {
	owned := b.studio.Dummies
	if owned >= 0 && len(b.d.dummies) >= max(owned, len(b.present.dummies)) {
		return false
	}
	plugged := b.d.plugs()
	for _, m := range b.jacks[b.jackOf[from]].normals {
		n := b.normals[m]
		for _, j := range []int{n.b, n.a} {
			if !n.breaks(j) || !b.usable(j) || slices.Contains(plugged, j) {
				continue
			}
			d := b.d.clone()
			d.dummies = append(d.dummies, j)
			if b.try(d) {
				b.placed[part{dummyPart, j, 0}] = true
				return true
			}
		}
	}
	return false
}
