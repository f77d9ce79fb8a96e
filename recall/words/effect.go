package words

import (
	"slices"
	"strings"

	"bayhand/model/effect"
	"bayhand/model/name"
	"bayhand/model/plan"
)

// Does says what an act at the bay does, worst first, each in a sentence without its
// full stop; none where no input hears anything else.
func (w *Words) Does(e effect.Effect) []string {
	var all []string
	for _, g := range e.Joins {
		all = append(all, Put("outputs are joined, which can damage them: {outputs}; pull one of them", "outputs", w.places(g)))
	}
	for _, g := range e.Loops {
		all = append(all, Put("feedback: a signal can go round through {places}", "places", w.places(g)))
	}
	for _, c := range e.Cautions {
		if c.Severity != "advice" {
			all = append(all, w.Said(c.Message))
		}
	}
	for _, c := range e.Changes {
		if slices.Contains(e.Loudspeakers, c.Destination) {
			all = append(all, Put("new at a loudspeaker: {outputs} -> {input}", "input", w.Point(c.Destination), "outputs", w.places(c.Would)))
		}
	}
	if silent := e.Silent(); len(silent) > 0 {
		all = append(all, Put("will lose signal: {inputs}", "inputs", w.places(silent)))
	}
	return all
}

// Loses says what is no longer heard with a plan where the session names nothing, and
// what is heard there instead.
func (w *Words) Loses(p *plan.Plan) []string {
	var all []string
	for _, l := range p.Losses {
		text := "{input} loses {output} and has no signal"
		if len(l.Instead) > 0 {
			text = "{input} loses {output} and has {others} instead"
		}
		all = append(all, Put(text, "input", w.Point(l.Destination), "output", w.Point(l.Source), "others", w.places(l.Instead)))
	}
	return all
}

// places are points in words, one after the other.
func (w *Words) places(points []name.Point) string {
	var all []string
	for _, p := range points {
		all = append(all, w.Point(p))
	}
	return strings.Join(all, ", ")
}
