package listen

import (
	"slices"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/recall/words"
)

// Wording says mistakes in a person's words.
type Wording struct{ *words.Places }

// In is the wording of a studio.
func In(s *studio.Studio) *Wording { return &Wording{&words.In(s).Places} }

// Mistake says what is otherwise, and where.
func (w *Wording) Mistake(m suspect.Mistake) string {
	var places []string
	for i, p := range m.At {
		places = append(places, string(rune('a'+i)), w.Point(p))
	}
	return words.Put(mistake(m), places...)
}

// mistake is the sentence of a mistake, whose places are a, b, c and d; a cord is named
// by its two ends.
func mistake(m suspect.Mistake) string {
	switch m.Code {
	case suspect.CordMissing:
		return "the cord {a} - {b} is missing"
	case suspect.CordDead:
		return "nothing goes through the cord {a} - {b}"
	case suspect.CordBeside:
		return "the cord {a} - {b} is in the jack beside, {c}"
	case suspect.CordElsewhere:
		return "the cord {a} - {b} is in another jack, {c}"
	case suspect.CordsSwapped:
		return "the cords {a} - {b} and {c} - {d} are swapped at one end"
	case suspect.LegDead:
		return "one leg is dead in the cord {a} - {b}"
	case suspect.PolarityWrong:
		return "the cord {a} - {b} has hot and cold exchanged (polarity reversed)"
	case suspect.HalfIn:
		return "the plug in {c} of the cord {a} - {b} is only half in"
	case suspect.TwoPoles:
		return "the cord {a} - {b} is TS (two poles), and takes a cold leg to ground"
	case suspect.ExtraCord:
		return "a cord that nobody reported is in {a} and {b}"
	case suspect.DummyMissing:
		return "the dummy in {a} is missing"
	case suspect.NormalDead:
		return "the normal from {a} to {b} is dead, or a plug that nobody reported breaks it"
	case suspect.CrosspointOther:
		switch {
		case len(m.At) > 2 && m.At[1] == m.At[2]:
			return "{c} -> {a}"
		case len(m.At) > 2:
			return "{c} -> {a}, and not {b}"
		}
		return "{b} -> {a} is not routed"
	case suspect.WireOther:
		if len(m.At) > 2 {
			return "the wires of {a} and {c} are exchanged at the rear"
		}
		return "the wire from {a} to {b} is dead"
	}
	return string(m.Code)
}

// Heard says how a pair is heard otherwise than it should be.
func (w *Wording) Heard(h suspect.Heard) string {
	return words.Put(heardAs(h), "input", w.Point(h.Input), "output", w.Point(h.Output))
}

func heardAs(h suspect.Heard) string {
	switch {
	case h.Is == suspect.Absent:
		return "{output} does not arrive at {input}, and should"
	case h.Was == suspect.Absent:
		return "{output} arrives at {input}, and should not"
	}
	return map[suspect.Class]string{
		suspect.Low: "{output} arrives at {input} about 6 dB low", suspect.Reversed: "{output} arrives at {input} with hot and cold exchanged (polarity reversed)",
		suspect.ReversedLow: "{output} arrives at {input} with hot and cold exchanged (polarity reversed) and about 6 dB low",
		suspect.Unlike:      "{output} arrives at {input} at another level than it should",
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

// RuledOut says why some causes of the same picture are not named; empty where all are.
func (w *Wording) RuledOut(f suspect.Finding) string {
	if f.RuledOut == 0 {
		return ""
	}
	return words.Count(f.RuledOut, "1 other cause would come through other gear: by the reference it would be as late as it is not", "{n} other causes would come through other gear: by the reference they would be as late as it is not")
}

// Heavier says that more hangs on a line than when the reference was read.
func (w *Wording) Heavier(h Heavier) string {
	return words.Put("{output} comes to {input} {by} dB lower than in the reference: perhaps something more is connected to that line",
		"output", w.Point(h.Output), "input", w.Point(h.Input), "by", strconv.FormatFloat(h.By, 'f', 2, 64))
}

// Followed says what a finding of the time before is, by the plug that was put in for it.
func (w *Wording) Followed(f suspect.Finding) string {
	says := words.Put("by the plug: {cause}", "cause", w.Mistake(f.Mistake))
	if n := suspect.Places(append([]suspect.Mistake{f.Mistake}, f.OrElse...)); n > 1 {
		says = words.Put("by the plug: {cause}, or a cause at {places}", "cause", w.Mistake(f.Mistake), "places", words.Count(n-1, "1 other place", "{n} other places"))
	}
	return says
}

// Beside says what else loses signal while a matrix mutes; empty where nothing does.
func (w *Wording) Beside(l *Plan) string {
	lost := l.Beside()
	if len(lost) == 0 {
		return ""
	}
	return words.Count(len(lost), "{inputs} loses signal while the test sound plays, as the outputs that mute feed it too.",
		"{inputs} lose signal while the test sound plays, as the outputs that mute feed them too.", "inputs", w.PointNames(lost))
}

// Probed says which crosspoints were switched to tell causes apart.
func (w *Wording) Probed(p *Probing) string {
	var all []string
	for _, c := range p.Changes {
		all = append(all, w.Point(c.Input)+" -> "+w.Point(c.Output))
	}
	return words.List(all)
}

// Probe says what to plug to tell causes apart.
func (w *Wording) Probe(p suspect.Probe) string {
	at, into := w.Point(p.At), w.Point(p.Into)
	if p.Instead != (patch.Cord{}) {
		return words.Put("to know which, take out the cord {cord}, plug another one from {from} to {to}, report both, and listen again: if all is as reported then, it was the cord that is out",
			"cord", w.Cords([]patch.Cord{p.Instead}), "from", at, "to", into)
	}
	if p.Occupied {
		return words.Put("to know which, plug a cord from {from} to {to}, report it, and listen again; a plug that is in one of them already is the answer", "from", at, "to", into)
	}
	return words.Put("to know which, plug a cord from {from} to {to}, report it, and listen again", "from", at, "to", into)
}
