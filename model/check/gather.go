package check

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// batch is what is said of one line of the file in the same words: points, and
// beside each another one or the zero Point.
type batch struct {
	key, words     string
	points, others []name.Point
}

// batches gather findings, so that a line of sixteen ports is one finding.
type batches []*batch

// add puts a point with those of its line and words.
func (b *batches) add(key, words string, point, other name.Point) {
	i := slices.IndexFunc(*b, func(o *batch) bool { return o.key == key && o.words == words })
	if i < 0 {
		i = len(*b)
		*b = append(*b, &batch{key: key, words: words})
	}
	at := (*b)[i]
	at.points = append(at.points, point)
	if !other.IsZero() {
		at.others = append(at.others, other)
	}
}

// unique writes points as short as files have them, each once.
func unique(points []name.Point) string {
	points = slices.Clone(points)
	slices.SortFunc(points, name.Point.Compare)
	return folded(slices.Compact(points))
}

// matrix finds a matrix by its name.
func (v *view) matrix(owner string) (studio.Matrix, bool) {
	if m := v.studio.MatrixNamed(owner); m != nil {
		return *m, true
	}
	return studio.Matrix{}, false
}

// amplified says whether a port is wired straight to a matrix of amplifiers, so
// that no metal leads from it to whatever is heard there.
func (v *view) amplified(port name.Point) bool {
	return slices.ContainsFunc(v.wired(port), func(c cable) bool {
		m, ok := v.matrix(c.far.Owner)
		return ok && m.Kind != studio.Contacts
	})
}

// metal says whether a source and a destination can be joined by metal: neither
// has an amplifier of a matrix between it and everything else.
func (v *view) metal(m meeting) bool {
	return !v.amplified(m.source.Point) && !v.amplified(m.destination.Point)
}

// joinedAtRest are the meetings at rest that are one piece of metal.
func (v *view) joinedAtRest() []meeting {
	return slices.DeleteFunc(v.atRest(), func(m meeting) bool { return !v.rest.Joined(m.source.Point, m.destination.Point) })
}

// joinedAsked are the meetings of a session that may be one piece of metal, but
// for those at rest.
func (v *sessionView) joinedAsked() []meeting {
	return slices.DeleteFunc(v.fresh(), func(m meeting) bool { return !v.metal(m) })
}
