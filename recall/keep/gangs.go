package keep

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bayhand/model/name"
	"bayhand/model/phrase"
)

// splitProblems are the outputs that a matrix moves together and that were read to
// listen to inputs which do not belong together.
func (v view) splitProblems(h device) []Problem {
	if h.job != nil || !h.answers {
		return nil // what it holds is about to be known anew, or is not known
	}
	var all []Problem
	for _, group := range h.matrix.Stereo {
		if slices.ContainsFunc(group, func(p name.Point) bool { return slices.Contains(h.unclear, p) }) {
			_, fact := v.k.memory.Known.inputs(group[0])
			all = append(all, Problem{Code: "split", Severity: "warning", Since: fact.Since,
				Message: fmt.Sprintf("%s of %s are switched together, and the device reports no valid input for them: they may be apart; a recall puts them right", portsText(group), called(h.matrix))})
		} else if since, split := v.k.memory.Known.split(group); split {
			all = append(all, Problem{Code: "split", Severity: "warning", Since: since,
				Message: fmt.Sprintf("%s of %s are switched together, and are apart: %s; a recall puts them right",
					portsText(group), called(h.matrix), readText(v.k.memory.Known, group))})
		}
	}
	return all
}

// portsText names the outputs of a group as a person does: out1, out2 and out3.
func portsText(group []name.Point) string {
	var names []string
	for _, p := range group {
		names = append(names, p.Port())
	}
	last := len(names) - 1
	return phrase.Put("{outputs} and {last}", "outputs", strings.Join(names[:last], ", "), "last", names[last])
}

// split says whether outputs that are switched together were read to listen to inputs
// that do not belong together, each to the one after that of the output before it, and
// since when.
func (k Known) split(group []name.Point) (since time.Time, split bool) {
	first, _ := k.inputs(group[0])
	for place, output := range group {
		inputs, fact := k.inputs(output)
		if fact.How != Read {
			return time.Time{}, false
		}
		if fact.Since.After(since) {
			since = fact.Since
		}
		if len(inputs) != len(first) {
			split = true
			continue
		}
		for i, input := range inputs {
			split = split || input.Number != first[i].Number+place
		}
	}
	return since, split
}
