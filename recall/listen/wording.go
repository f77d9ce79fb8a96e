package listen

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/recall/words"
)

// Wording says mistakes in a person's words.
type Wording struct{ *words.Words }

// In is the wording of a studio.
func In(s *studio.Studio) *Wording { return &Wording{words.In(s)} }

// Mistake says what is otherwise, and where.
func (w *Wording) Mistake(m suspect.Mistake) string {
	p := func(i int) string { return w.Point(m.At[i]) }
	cord := func(i int) string { return p(i) + " - " + p(i+1) }
	switch m.Code {
	case suspect.CordMissing:
		return "the cord " + cord(0) + " is missing"
	case suspect.CordDead:
		return "nothing goes through the cord " + cord(0)
	case suspect.CordBeside:
		return "the cord " + cord(0) + " is in the jack beside, " + p(2)
	case suspect.CordElsewhere:
		return "the cord " + cord(0) + " is in another jack, " + p(2)
	case suspect.CordsSwapped:
		return "the cords " + cord(0) + " and " + cord(2) + " are swapped at one end"
	case suspect.LegDead:
		return "one leg is dead in the cord " + cord(0)
	case suspect.PolarityWrong:
		return "the cord " + cord(0) + " is reversed"
	case suspect.HalfIn:
		return "the plug in " + p(2) + " of the cord " + cord(0) + " is only half in"
	case suspect.TwoPoles:
		return "the cord " + cord(0) + " has two poles, and takes a cold leg to ground"
	case suspect.ExtraCord:
		return "a cord that nobody reported is in " + p(0) + " and " + p(1)
	case suspect.DummyMissing:
		return "the dummy in " + p(0) + " is missing"
	case suspect.NormalDead:
		return "the normal from " + p(0) + " to " + p(1) + " is dead, or a plug that nobody reported breaks it"
	case suspect.CrosspointOther:
		switch {
		case len(m.At) > 2 && m.At[1] == m.At[2]:
			return p(0) + " listens to " + p(2)
		case len(m.At) > 2:
			return p(0) + " listens to " + p(2) + ", not to " + p(1)
		}
		return p(0) + " does not listen to " + p(1)
	case suspect.WireOther:
		if len(m.At) > 2 {
			return "the wires of " + p(0) + " and " + p(2) + " are exchanged at the rear"
		}
		return "the wire from " + p(0) + " to " + p(1) + " is dead"
	}
	return string(m.Code)
}

// Heard says how a pair is heard otherwise than it should be.
func (w *Wording) Heard(h suspect.Heard) string {
	in, of := w.Point(h.Input), w.Point(h.Output)
	switch {
	case h.Is == suspect.Absent:
		return in + " does not hear " + of + ", and should"
	case h.Was == suspect.Absent:
		return in + " hears " + of + ", and should not"
	}
	return in + " hears " + of + " " + map[suspect.Class]string{
		suspect.Low: "about 6 dB low", suspect.Reversed: "reversed", suspect.ReversedLow: "reversed and about 6 dB low",
		suspect.Unlike: "at another level than it should",
	}[h.Is]
}

// Cords names cords by their ends.
func (w *Wording) Cords(all []patch.Cord) string {
	var said []string
	for _, c := range all {
		said = append(said, w.Point(c.A)+" - "+w.Point(c.B))
	}
	return strings.Join(said, ", ")
}

// PointNames names points, in order.
func (w *Wording) PointNames(all []name.Point) string {
	var said []string
	for _, p := range all {
		said = append(said, w.Point(p))
	}
	slices.Sort(said)
	return words.List(slices.Compact(said))
}

// Probe says what to plug to tell causes apart.
func (w *Wording) Probe(p suspect.Probe) string {
	return "to know which, plug a cord from " + w.Point(p.At) + " to " + w.Point(p.Into) + ", report it, and listen again"
}
