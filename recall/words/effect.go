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
		all = append(all, Put("outputs are joined, which can damage them: {outputs}; it must not stay so", "outputs", w.places(g)))
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
// what is heard there instead; and what has no signal while a matrix mutes something else,
// as long as the step that brings it back is among those that are left.
func (w *Words) Loses(p *plan.Plan, left []plan.Step) []string {
	var all []string
	for _, l := range p.Losses {
		text := "{input} loses {output} and has no signal"
		if len(l.Instead) > 0 {
			text = "{input} loses {output} and has {others} instead"
		}
		all = append(all, Put(text, "input", w.Point(l.Destination), "output", w.Point(l.Source), "others", w.places(l.Instead)))
	}
	for _, s := range p.Steps {
		if len(s.Silences) == 0 {
			continue
		}
		if back := backAt(p.Steps, s); slices.ContainsFunc(left, func(s plan.Step) bool { return s.ID == back }) {
			all = append(all, Count(len(s.Silences), "{inputs} loses signal from step {from} to step {to}: {matrix} switches it together with what it mutes",
				"{inputs} lose signal from step {from} to step {to}: {matrix} switches them together with what it mutes",
				"inputs", w.places(s.Silences), "from", Clean(s.ID), "to", Clean(back), "matrix", w.Owner(s.By)))
		}
	}
	return all
}

// backAt is the last step by which a matrix switches an output that a step switched off.
func backAt(steps []plan.Step, off plan.Step) string {
	at := off.ID
	for _, s := range steps {
		if s.By == off.By && slices.ContainsFunc(s.Crosspoints, func(c plan.Change) bool { return c.Output == off.Crosspoints[0].Output }) {
			at = s.ID
		}
	}
	return at
}

// places are points in words, one after the other.
func (w *Words) places(points []name.Point) string {
	var all []string
	for _, p := range points {
		all = append(all, w.Point(p))
	}
	return strings.Join(all, ", ")
}
