package words

import (
	"strconv"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// foldedFrom is how many outputs that count on are said in one phrase; fewer are said one
// by one.
const foldedFrom = 3

// Switching says what a matrix does in a step, one phrase an output, or one for many that
// count on: "in 5 -> out 1", "out 2 off", "in 9-16 -> out 1-8", "out 17-64 off".
func (w *Words) Switching(s plan.Step) []string {
	said, phrases := switching{w}, []string(nil)
	for all := s.Crosspoints; len(all) > 0; {
		run := 1
		for run < len(all) && said.countsOn(all[run-1], all[run]) {
			run++
		}
		if run < foldedFrom {
			run = 1
		}
		phrases = append(phrases, said.phrase(all[0], all[run-1].Output.Number-all[0].Output.Number))
		all = all[run:]
	}
	return phrases
}

// switching words what a matrix does.
type switching struct{ words *Words }

// phrase is one change, with as many more that count on from it.
func (s switching) phrase(c plan.Change, more int) string {
	port := func(p name.Point) string {
		if more == 0 {
			return s.words.Port(p)
		}
		return Put("{first}-{last}", "first", s.words.Port(p), "last", strconv.Itoa(p.Number+more))
	}
	if c.Input.IsZero() {
		return Put("{output} off", "output", port(c.Output))
	}
	return labelled(s.words.called([]name.Point{c.Output}), port(c.Input)+" -> "+port(c.Output))
}

// countsOn says whether a change does to the next port what the one before did, so that
// both are of one phrase: neither port has a name of its own, and both are of one line.
func (s switching) countsOn(before, c plan.Change) bool {
	bare := func(p name.Point) bool { return s.words.ports[p] == "" }
	if !follows(before.Output, c.Output) || !bare(before.Output) || !bare(c.Output) || before.Input.IsZero() != c.Input.IsZero() {
		return false
	}
	return c.Input.IsZero() || follows(before.Input, c.Input) && bare(before.Input) && bare(c.Input) &&
		s.words.called([]name.Point{before.Output}) == s.words.called([]name.Point{c.Output})
}
