package main

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// ways of knowing, in the order in which they are shown.
var ways = []keep.How{keep.Read, keep.Measured, keep.Told, keep.Sent, keep.Assumed}

// showMatrix says what a matrix has closed, and why that is believed.
func (v *view) showMatrix(m keep.MatrixStatus, all []keep.KnownCrosspoint) {
	switch {
	case !m.Driven:
		v.out.lines("  ", "    ", words.Put("{name}: switched by hand (no device:)", "name", m.Name))
	case m.Problem != "":
		v.out.lines("  ", "    ", words.Put("{name}: no answer", "name", m.Name))
	case !m.Answers:
		v.out.lines("  ", "    ", words.Put("{name}: not checked yet", "name", m.Name))
	}
	for _, how := range ways {
		if closed := closedBy(m.Name, how, all); closed != "" {
			v.out.lines("  ", "    ", fmt.Sprintf("%s: %s (%s)", m.Name, closed, words.How(how)))
		}
	}
	if open := beingSwitched(m.Name, all); len(open) > 0 {
		v.out.lines("  ", "    ", fmt.Sprintf("%s: %s switching, unknown until read", m.Name, ports(open)))
	}
}

// beingSwitched are the outputs of a matrix of which nobody knows what they
// listen to, each once.
func beingSwitched(matrix string, all []keep.KnownCrosspoint) []name.Point {
	var outputs []name.Point
	for _, c := range all {
		if c.Output.Owner == matrix && c.How == keep.NotKnown && !slices.Contains(outputs, c.Output) {
			outputs = append(outputs, c.Output)
		}
	}
	return outputs
}

// closedBy says what a matrix has closed, as far as it is known in one way.
func closedBy(matrix string, how keep.How, all []keep.KnownCrosspoint) string {
	var outputs, inputs []name.Point
	known := false
	for _, c := range all {
		if c.Output.Owner != matrix || c.How != how {
			continue
		}
		known = true
		if !c.Input.IsZero() {
			outputs, inputs = append(outputs, c.Output), append(inputs, c.Input)
		}
	}
	if known && len(outputs) == 0 {
		return "all crosspoints open"
	}
	return strings.Join(runs(outputs, inputs), ", ")
}

// runs writes crosspoints that follow each other as one, source before destination:
// "in1-4 -> out1-4".
func runs(outputs, inputs []name.Point) []string {
	var phrases []string
	for first := 0; first < len(outputs); {
		last := first
		for last+1 < len(outputs) && follows(outputs[last], outputs[last+1]) && follows(inputs[last], inputs[last+1]) {
			last++
		}
		phrases = append(phrases, ports(inputs[first:last+1])+" -> "+ports(outputs[first:last+1]))
		first = last + 1
	}
	return phrases
}

func follows(p, q name.Point) bool { return q.Stem == p.Stem && q.Number == p.Number+1 }

// ports is points of one owner without its name, in ranges.
func ports(points []name.Point) string {
	return strings.ReplaceAll(names(points), points[0].Owner+"/", "")
}

// showBay says what is in the bays, and why that is believed.
func (v *view) showBay(said *words.Words, s keep.Status) {
	for _, how := range ways {
		if in := pluggedBy(how, s.Known); in != "" {
			v.out.lines("  ", "    ", fmt.Sprintf("in the bay: %s (%s)", said.Said(in), words.How(how)))
		}
	}
	var faulty []name.Point
	for _, t := range s.Tags {
		faulty = append(faulty, t.Jack)
	}
	if len(faulty) > 0 {
		v.out.lines("  ", "    ", words.Put("faulty: {faulty}", "faulty", said.Points(faulty)))
	}
}

func pluggedBy(how keep.How, k keep.Known) string {
	var phrases []string
	for _, c := range k.Cords {
		if c.How == how {
			phrases = append(phrases, cordPhrase(c))
		}
	}
	for _, l := range k.Leads {
		if l.How == how {
			phrases = append(phrases, words.Put("gear cable {port} - {jack}", "port", l.Port.String(), "jack", l.Jack.String()))
		}
	}
	for _, d := range k.Dummies {
		if d.How == how {
			phrases = append(phrases, words.Put("dummy plug in {jack}", "jack", d.Jack.String()))
		}
	}
	return strings.Join(phrases, ", ")
}

func cordPhrase(c keep.KnownCord) string {
	if c.B.IsZero() {
		return words.Put("{jack} loose", "jack", c.A.String())
	}
	return c.A.String() + " - " + c.B.String()
}
