package arrange

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// slot is a column that is free to be arranged.
type slot struct {
	bay    int // of the studio
	number int
}

// room is what is arranged: ports, columns, and what stays.
type room struct {
	studio          *studio.Studio
	outputs, inputs []port
	slots           []slot
	// runs counts, column by column, the runs of columns that follow each other on one
	// bay.
	runs []int
	// idles are the columns to which nothing is wired today.
	idles []bool
	// inserts are sends over their own returns, by number.
	inserts []pairing
	// stays are the jacks of columns that are left as they are.
	stays map[name.Point]bool
	// mixed is set where there are lines of more than one kind.
	mixed bool
	// groups are those of the columns whose modes are not set one by one, none for
	// others, and held the mode that a group must have, unknown for any; grouped is
	// set where there are some.
	groups  []int
	held    []studio.Mode
	members [][]int // of each group, the columns
	grouped bool
	// bayZones are the zones of the bays, and zones those of the columns; zoned is set
	// where columns are of several.
	bayZones, zones []int
	zoned           bool
	// places are those that the columns stand in, 0 for none; walled is set where some do.
	places []int
	walled bool
	// crossings are what a signal from a zone to another costs, in plugs.
	crossings [][]int64
	// microphones is the bay that is theirs alone; none where no bay is.
	microphones int
	// straights are the microphone lines that go to no bay.
	straights []Straight
	// wired is set where something is wired to the bays.
	wired bool
}

// newRoom finds what comes to the bays: in a room that is wired, what is wired to
// them and what was asked to come besides; in a new one all gear and matrices.
// Lines at loudspeaker level come to no bay, nor what is wired straight to
// something.
func newRoom(q *Request) *room {
	r := &room{studio: q.Studio, stays: map[name.Point]bool{}, microphones: none}
	r.findStays(q)
	r.findSlots(q)
	r.findRuns()
	r.findIdle()
	r.findGroups()
	r.findPorts(q.Also)
	r.findZones()
	places{r}.find()
	r.findInserts(q)
	r.link()
	return r
}

// findStays marks both jacks of each column with a tie, a mult, a strapped
// normal, a tagged jack, something fixed, an output below or an input above, or a
// wire of a matrix.
func (r *room) findStays(q *Request) {
	stay := func(p name.Point) {
		if r.studio.IsJack(p) {
			r.stays[name.At(p.Owner, studio.Top, p.Number)] = true
			r.stays[name.At(p.Owner, studio.Bottom, p.Number)] = true
		}
	}
	for _, t := range r.studio.Ties {
		stay(t.A)
		stay(t.B)
	}
	for _, m := range r.studio.Mults {
		for _, j := range m.Jacks {
			stay(j)
		}
	}
	for _, n := range r.studio.Normals {
		stay(n.From)
		stay(n.To)
	}
	for _, p := range slices.Concat(r.studio.Faulty, r.studio.FaultyNormals, q.Fixed) {
		stay(p)
	}
	for _, w := range r.studio.Wires {
		// A column at a matrix stays: crosspoints cost no plug, which the sum over columns
		// does not count, so it would value the column too low.
		if w.OfLine || r.turned(w) || fixed(q.Fixed, w.From) || fixed(q.Fixed, w.To) || r.ofMatrix(w.From) || r.ofMatrix(w.To) {
			stay(w.From)
			stay(w.To)
		}
	}
}

// turned says whether an output stands at the bottom, or an input at the top: it
// was put there for a reason of its own.
func (r *room) turned(w studio.Wire) bool {
	return w.To.Stem == studio.Bottom && r.studio.IsJack(w.To) || w.From.Stem == studio.Top && r.studio.IsJack(w.From)
}

func (r *room) ofMatrix(p name.Point) bool {
	return r.studio.MatrixNamed(p.Owner) != nil
}

// fixed says whether a port, or all of its gear, is fixed.
func fixed(all []name.Point, p name.Point) bool {
	return slices.ContainsFunc(all, func(f name.Point) bool { return f == p || f.Stem == "" && f.Owner == p.Owner })
}

func (r *room) findSlots(q *Request) {
	for n, b := range r.studio.Bays {
		if len(q.Bays) > 0 && !slices.Contains(q.Bays, b.Name) {
			continue
		}
		for pair := 1; pair <= b.Pairs(); pair++ {
			if !r.stays[b.TopJack(pair)] {
				r.slots = append(r.slots, slot{n, pair})
			}
		}
	}
}

// findIdle finds those columns.
func (r *room) findIdle() {
	at := r.wiredTo()
	for _, s := range r.slots {
		b := &r.studio.Bays[s.bay]
		_, top := at[b.TopJack(s.number)]
		_, bottom := at[b.BottomJack(s.number)]
		r.idles = append(r.idles, !top && !bottom)
	}
}

// findRuns counts the runs of columns.
func (r *room) findRuns() {
	run := 0
	for n := range r.slots {
		if r.begins(n) {
			run++
		}
		r.runs = append(r.runs, run)
	}
}

// begins says whether a column does not follow the one before on the same bay.
func (r *room) begins(n int) bool {
	return n == 0 || r.slots[n-1] != slot{r.slots[n].bay, r.slots[n].number - 1}
}

// arranged says whether a point is a jack whose column may be arranged.
func (r *room) arranged(p name.Point) bool {
	return r.slotOf(p) >= 0
}

// slotOf is the column of a jack, negative for one that is not arranged.
func (r *room) slotOf(p name.Point) int {
	return slices.IndexFunc(r.slots, func(s slot) bool {
		b := &r.studio.Bays[s.bay]
		return p.Number == s.number && b.HasJack(p)
	})
}
