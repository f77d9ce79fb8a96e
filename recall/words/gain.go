package words

import (
	"slices"
	"strings"

	"bayhand/model/level"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Alike are ways through the room of which the same is said, their points side by
// side.
type Alike struct {
	// Label is the name of a session's line; empty for none.
	Label string
	Ways  [][]name.Point
	Said  []string
}

// GroupAlike puts together neighbours of which the same is said and whose points
// belong to the same gear.
func GroupAlike(all []Alike) []Alike {
	var groups []Alike
	for _, one := range all {
		last := len(groups) - 1
		if last >= 0 && groups[last].Label == one.Label && slices.Equal(groups[last].Said, one.Said) && sameGear(groups[last].Ways[0], one.Ways[0]) {
			groups[last].Ways = append(groups[last].Ways, one.Ways...)
			continue
		}
		groups = append(groups, one)
	}
	return groups
}

func sameGear(a, b []name.Point) bool {
	return slices.EqualFunc(a, b, func(p, q name.Point) bool { return p.Owner == q.Owner })
}

// Way is the points of a group, each hop in the words of places.
func (g Alike) Way(places func([]name.Point) string) string {
	hops := make([]string, len(g.Ways[0]))
	for i := range hops {
		var points []name.Point
		for _, w := range g.Ways {
			if !slices.Contains(points, w[i]) {
				points = append(points, w[i])
			}
		}
		hops[i] = places(points)
	}
	return strings.Join(hops, " -> ")
}

// Runs are points in words, those that count on as one: "interface out 1 to 8".
func (w *Places) Runs(points []name.Point) string {
	var phrases []string
	for i := 0; i < len(points); {
		last := i
		for last+1 < len(points) && countsOn(points[last], points[last+1]) {
			last++
		}
		phrases = append(phrases, w.Run(points[i], points[last].Number))
		i = last + 1
	}
	return List(phrases)
}

// From says which outputs arrive somewhere: "from interface out 1 to 8".
func (w *Places) From(sources []name.Point) string {
	if len(sources) == 0 {
		return "no source"
	}
	return Put("from {outputs}", "outputs", w.Runs(sources))
}

func countsOn(p, q name.Point) bool {
	p.Number++
	return p == q
}

// GainPlanOf heads a gain plan.
func GainPlanOf(title string) string {
	return Put("Gain plan of {session}, for a tone at the working level of each line's first source, and gear between that adds nothing of its own:", "session", title)
}

// GainPlan says of the chains of a session what a tone reads at the end, what clips
// first, and what to turn down by how much; gear has the words for a piece of gear.
func GainPlan(all []level.Chain, reference studio.Reference, gear func(owner string) string) []Alike {
	var lines []Alike
	for _, c := range all {
		var way []name.Point
		for _, l := range c.Links {
			way = append(way, l.Arrival.Source.Point, l.Arrival.Destination.Point)
		}
		lines = append(lines, Alike{Label: Clean(c.Label), Ways: [][]name.Point{way}, Said: chainSaid(c, reference, gear)})
	}
	return GroupAlike(lines)
}

func chainSaid(c level.Chain, reference studio.Reference, gear func(string) string) []string {
	text := "reads {level} at the end; clips first at {gear}, {headroom} above the tone"
	if reference.Said {
		text = "reads {level} at the end, {digital} where full scale is {full}; clips first at {gear}, {headroom} above the tone"
	}
	said := []string{Put(text, "level", LevelOf(c.Reads), "digital", digital(c.Reads, reference), "full", LevelOf(ExactLevel(reference.FullScale)),
		"gear", gear(c.Clips.Owner), "headroom", Amount(c.Headroom))}
	for _, t := range c.Turns {
		said = append(said, Put("turn down {amount} at {gear}, or before it", "amount", Amount(t.By), "gear", gear(t.At.Owner)))
	}
	return said
}

// digital is a level against full scale.
func digital(r level.Range, reference studio.Reference) string {
	return strings.Replace(LevelOf(r.Plus(-float64(reference.FullScale))), "dBu", "dBFS", 1)
}

// ExactLevel is a level of which both ends are known to be the same.
func ExactLevel(l measure.Level) level.Range { return level.Range{Low: float64(l), High: float64(l)} }

// LevelsCaution stands under every answer about levels.
const LevelsCaution = "The low end is not modelled, and no level here is said to be safe to the ear: turn down before you listen."
