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
func (w *Words) Runs(points []name.Point) string {
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

func countsOn(p, q name.Point) bool {
	p.Number++
	return p == q
}

// GainPlanOf heads a gain plan.
func GainPlanOf(title string) string {
	return "Gain plan of " + title + ", for a tone at the working level of each line's first source, and gear between that adds nothing of its own:"
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
	reads := "reads " + LevelOf(c.Reads) + " at the end"
	if reference.Said {
		reads += ", " + fullScale(c.Reads, reference)
	}
	said := []string{reads + "; clips first at " + gear(c.Clips.Owner) + ", " + Amount(c.Headroom) + " above the tone"}
	for _, t := range c.Turns {
		said = append(said, "turn down "+Amount(t.By)+" at "+gear(t.At.Owner)+", or before it")
	}
	return said
}

func fullScale(r level.Range, reference studio.Reference) string {
	text := LevelOf(r.Plus(-float64(reference.FullScale)))
	return strings.Replace(text, "dBu", "dBFS", 1) + " where full scale is " + LevelOf(ExactLevel(reference.FullScale))
}

// ExactLevel is a level of which both ends are known to be the same.
func ExactLevel(l measure.Level) level.Range { return level.Range{Low: float64(l), High: float64(l)} }

// LevelsCaution stands under every answer about levels.
const LevelsCaution = "The low end is not modelled, and no level here is said to be safe to the ear: turn down before you listen."
