package words

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bayhand/model/name"
	"bayhand/recall/keep"
)

// Matrix is how a matrix is doing, never more than is known.
func Matrix(m keep.MatrixStatus) string {
	switch {
	case !m.Driven:
		return "switched by hand (no device:)"
	case m.Answers && m.ReadsBack:
		return "online"
	case m.Answers:
		return "online, no read-back"
	case unchecked(m):
		return "not checked yet"
	}
	return "no answer"
}

// unchecked says of a matrix that nobody asked its device for anything yet.
func unchecked(m keep.MatrixStatus) bool {
	return m.Driven && !m.Answers && (m.Problem == "" || m.Problem == keep.NotChecked)
}

// MatrixLines say how a matrix is doing where it is not online, what it has closed, and
// how that is known, the surest first.
func (w *Words) MatrixLines(m keep.MatrixStatus, all []keep.KnownCrosspoint) []string {
	matrix := w.Owner(m.Name)
	var lines []string
	if !m.Driven || !m.Answers {
		lines = append(lines, Put("{matrix}: {state}", "matrix", matrix, "state", Matrix(m)))
	}
	for _, how := range keep.Hows {
		of := slices.DeleteFunc(slices.Clone(all), func(c keep.KnownCrosspoint) bool { return c.Output.Owner != m.Name || c.How != how })
		others := slices.ContainsFunc(all, func(c keep.KnownCrosspoint) bool { return c.Output.Owner == m.Name && c.How != how })
		open := !slices.ContainsFunc(of, func(c keep.KnownCrosspoint) bool { return !c.Input.IsZero() })
		switch {
		case len(of) == 0:
		case how == keep.NotKnown:
			lines = append(lines, Put("{matrix}: {outputs} switching, unknown until read", "matrix", matrix, "outputs", outputs(of)))
		case open && others:
			lines = append(lines, Put("{matrix}: {outputs} off ({how})", "matrix", matrix, "outputs", outputs(of), "how", How(how)))
		default:
			lines = append(lines, Put("{matrix}: {closed} ({how})", "matrix", matrix, "closed", closed(of), "how", How(how)))
		}
	}
	return lines
}

// outputs are those of crosspoints, each once.
func outputs(all []keep.KnownCrosspoint) string {
	var outputs []name.Point
	for _, c := range all {
		if !slices.Contains(outputs, c.Output) {
			outputs = append(outputs, c.Output)
		}
	}
	return ports(outputs)
}

// closed are the crosspoints of one matrix that are closed. Those that follow each other
// are one, source before destination: "in1-4 -> out1-4".
func closed(all []keep.KnownCrosspoint) string {
	all = slices.DeleteFunc(slices.Clone(all), func(c keep.KnownCrosspoint) bool { return c.Input.IsZero() })
	if len(all) == 0 {
		return "all crosspoints open"
	}
	var phrases []string
	for first := 0; first < len(all); {
		end := first + 1
		for end < len(all) && follows(all[end-1].Output, all[end].Output) && follows(all[end-1].Input, all[end].Input) {
			end++
		}
		var outputs, inputs []name.Point
		for _, c := range all[first:end] {
			outputs, inputs = append(outputs, c.Output), append(inputs, c.Input)
		}
		phrases = append(phrases, ports(inputs)+" -> "+ports(outputs))
		first = end
	}
	return strings.Join(phrases, ", ")
}

func follows(p, q name.Point) bool {
	return q.Owner == p.Owner && q.Stem == p.Stem && q.Number == p.Number+1
}

// ports are points of one owner without its name, in ranges.
func ports(points []name.Point) string {
	return strings.ReplaceAll(strings.Join(name.Fold(points), ", "), points[0].Owner+"/", "")
}

// BayLines say what is in the bays, how that is known, the surest first, and which jacks
// are faulty.
func (w *Words) BayLines(s keep.Status) []string {
	var lines []string
	for _, how := range keep.Hows {
		var in []string
		for _, p := range plugged(s.Known) {
			if p.How == how {
				in = append(in, p.what)
			}
		}
		if len(in) > 0 {
			lines = append(lines, Put("in the bay: {plugs} ({how})", "plugs", w.Said(strings.Join(in, ", ")), "how", How(how)))
		}
	}
	var faulty []name.Point
	for _, t := range s.Tags {
		faulty = append(faulty, t.Jack)
	}
	if len(faulty) > 0 {
		lines = append(lines, Put("faulty: {jacks}", "jacks", w.Points(faulty)))
	}
	return lines
}

// inBay is one thing that is in the bays, with the names that files have, and why that is
// believed. Cord says that it is a cord, whose number is 0 where it has none.
type inBay struct {
	what   string
	cord   bool
	number int
	keep.Fact
}

func plugged(k keep.Known) []inBay {
	var all []inBay
	for _, c := range k.Cords {
		ends := c.A.String() + " - " + c.B.String()
		if c.B.IsZero() {
			ends = Put("{jack} loose", "jack", c.A.String())
		}
		all = append(all, inBay{ends, true, c.Number, c.Fact})
	}
	for _, l := range k.Leads {
		all = append(all, inBay{Put("gear cable {port} - {jack}", "port", l.Port.String(), "jack", l.Jack.String()), false, 0, l.Fact})
	}
	for _, d := range k.Dummies {
		all = append(all, inBay{Put("dummy plug in {jack}", "jack", d.Jack.String()), false, 0, d.Fact})
	}
	return all
}

// Fact is one thing that is in or closed, with the names that files have, how that is
// known and since when: empty where nobody knows.
type Fact struct {
	What, How, Since string
}

// Facts are all that is known, the bays first.
func Facts(k keep.Known) []Fact {
	var all []Fact
	for _, p := range plugged(k) {
		switch {
		case p.number > 0:
			p.what = Put("cord {number}, {ends}", "number", strconv.Itoa(p.number), "ends", p.what)
		case p.cord:
			p.what = Put("cord {ends}", "ends", p.what)
		}
		all = append(all, factOf(p.what, p.Fact))
	}
	for _, c := range k.Crosspoints {
		sentence := "{matrix}: {input} -> {output}"
		switch {
		case c.How == keep.NotKnown:
			sentence = "{matrix}: {output}: switching, unknown until read"
		case c.Input.IsZero():
			sentence = "{matrix}: {output} off"
		}
		all = append(all, factOf(Put(sentence, "matrix", c.Output.Owner, "input", c.Input.Port(), "output", c.Output.Port()), c.Fact))
	}
	return all
}

func factOf(what string, f keep.Fact) Fact {
	how := How(f.How)
	if f.How == keep.Told && f.Who != "" {
		how = Put("reported by {who}", "who", Clean(f.Who))
	}
	return Fact{what, how, minute(f.Since)}
}

// minute is a time as people read it, in their own zone; empty for none.
func minute(at time.Time) string {
	if at.IsZero() {
		return ""
	}
	return at.Local().Format("2006-01-02 15:04")
}
