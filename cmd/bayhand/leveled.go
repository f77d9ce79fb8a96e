package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/level"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// chainAnswer is a line of the gain plan as programs read it.
type chainAnswer struct {
	Label    string       `json:"label,omitempty"`
	Way      []name.Point `json:"way"`
	Clips    name.Point   `json:"clips"`
	Headroom level.Range  `json:"headroom"`
	Turns    []turnAnswer `json:"turns"`
	Reads    level.Range  `json:"reads"`
}

type turnAnswer struct {
	At name.Point  `json:"at"`
	By level.Range `json:"by"`
}

func chainAnswers(all []level.Chain) []chainAnswer {
	answers := []chainAnswer{}
	for _, c := range all {
		a := chainAnswer{Label: c.Label, Clips: c.Clips, Headroom: c.Headroom, Turns: []turnAnswer{}, Reads: c.Reads}
		for _, l := range c.Links {
			a.Way = append(a.Way, l.Arrival.Source.Point, l.Arrival.Destination.Point)
		}
		for _, t := range c.Turns {
			a.Turns = append(a.Turns, turnAnswer(t))
		}
		answers = append(answers, a)
	}
	return answers
}

// alike are things of which the same is said, with their points side by side.
type alike struct {
	ways [][]name.Point
	said []string
}

// groupAlike puts together neighbours of which the same is said and whose points
// belong to the same gear.
func groupAlike(all []alike) []alike {
	var groups []alike
	for _, one := range all {
		last := len(groups) - 1
		if last >= 0 && slices.Equal(groups[last].said, one.said) && sameGear(groups[last].ways[0], one.ways[0]) {
			groups[last].ways = append(groups[last].ways, one.ways...)
			continue
		}
		groups = append(groups, one)
	}
	return groups
}

func sameGear(a, b []name.Point) bool {
	return slices.EqualFunc(a, b, func(p, q name.Point) bool { return p.Owner == q.Owner })
}

// way is the points of a group, runs as ranges.
func (g alike) way() string {
	hops := make([]string, len(g.ways[0]))
	for i := range hops {
		var points []name.Point
		for _, w := range g.ways {
			if !slices.Contains(points, w[i]) {
				points = append(points, w[i])
			}
		}
		hops[i] = names(points)
	}
	return strings.Join(hops, " -> ")
}

func printLevels(out *output, answer leveled, all bool) {
	if len(answer.Chains) > 0 {
		printGainPlan(out, answer)
	}
	var shown []alike
	quiet := 0
	for _, a := range answer.Destinations {
		if !all && !answer.detail && !a.DeservesALook() {
			quiet++
			continue
		}
		said := words.Looks(a)
		if answer.detail {
			said = detailed(a)
		}
		shown = append(shown, alike{[][]name.Point{{a.Source.Point, a.Destination.Point}}, said})
	}
	if !answer.detail && len(shown) > 0 {
		out.printf("%s\n", headOf(all, answer.title))
	}
	for _, g := range groupAlike(shown) {
		out.lines("  ", "    ", g.way())
		for _, line := range g.said {
			out.lines("    ", "      ", line)
		}
	}
	switch {
	case answer.detail && len(shown) == 0:
		out.printf("nothing is heard there\n")
	case !answer.detail && quiet > 0:
		out.printf("%s with nothing to say; --all prints them\n", plural(quiet, "other destination"))
	case !answer.detail && len(shown) == 0:
		out.printf("nothing is heard anywhere\n")
	}
	printUnknown(out, answer.Destinations)
	out.lines("", "", "The low end is not modelled, and no level here is said to be safe to the ear: turn down before you listen.")
}

func headOf(all bool, title string) string {
	if all {
		return "Every destination, " + title + ":"
	}
	return "Worth a look, " + title + ":"
}

func printGainPlan(out *output, answer leveled) {
	out.lines("", "", "Gain plan of "+answer.title+", for a tone at the working level of each line's first source, and gear between that adds nothing of its own:")
	var lines []alike
	for _, c := range answer.Chains {
		said := chainSaid(c, answer.studio.Reference)
		if c.Label != "" {
			said = append([]string{c.Label}, said...)
		} else {
			said = append([]string{""}, said...)
		}
		lines = append(lines, alike{[][]name.Point{c.Way}, said})
	}
	for _, g := range groupAlike(lines) {
		label := g.said[0]
		if label != "" {
			label += ": "
		}
		out.lines("  ", "    ", label+g.way())
		for _, line := range g.said[1:] {
			out.lines("    ", "      ", line)
		}
	}
}

func chainSaid(c chainAnswer, reference studio.Reference) []string {
	reads := "reads " + words.LevelOf(c.Reads) + " at the end"
	if reference.Said {
		reads += ", " + fullScale(c.Reads, reference)
	}
	said := []string{reads + "; clips first at " + gearOf(c.Clips) + ", " + words.Amount(c.Headroom) + " above the tone"}
	for _, t := range c.Turns {
		said = append(said, "turn down "+words.Amount(t.By)+" at "+gearOf(t.At)+", or before it")
	}
	return said
}

// gearOf is the gear of a point, so that what is said of neighbours is the same.
func gearOf(p name.Point) string { return p.Owner }

func fullScale(r level.Range, reference studio.Reference) string {
	text := words.LevelOf(r.Plus(-float64(reference.FullScale)))
	return strings.Replace(text, "dBu", "dBFS", 1) + " where full scale is " + words.LevelOf(exactLevel(reference.FullScale))
}

// negative turns a loss into what is added.
func negative(r level.Range) level.Range { return level.Range{Low: -r.High, High: -r.Low} }

func exactLevel(l measure.Level) level.Range { return level.Range{Low: float64(l), High: float64(l)} }

// detailed is everything of an arrival.
func detailed(a level.Arrival) []string {
	said := words.Looks(a)
	said = append(said,
		fmt.Sprintf("%s on the way; the destination works at %s", words.Decibels(negative(a.Loss)), words.LevelOf(exactLevel(a.Wants))),
		fmt.Sprintf("clips first at %s, %s above the working level of the source", a.Clips, words.Amount(a.Headroom)))
	if a.Load != nil {
		load := "the output sees " + strconv.FormatFloat(float64(int(float64(*a.Load)+0.5)), 'f', -1, 64) + " ohm"
		if a.Ratio != nil {
			load += fmt.Sprintf(", %.3g times its own impedance", *a.Ratio)
		}
		said = append(said, load)
	}
	return append(said, cableSaid(a)...)
}

func cableSaid(a level.Arrival) []string {
	if a.Length == nil {
		said := []string{"the treble is not known; what lacks:"}
		return append(said, a.Known...)
	}
	text := "through " + words.Metres(*a.Length) + " of cable"
	if a.Estimated {
		text += ", estimated"
	}
	text += ": " + words.Decibels(*a.Treble) + " at 20 kHz"
	if a.Corner != nil {
		text += ", half of the power at " + words.Hertz(*a.Corner)
	}
	return append([]string{text}, a.Known...)
}

// printUnknown counts what nobody said, over all that was asked.
func printUnknown(out *output, all []level.Arrival) {
	lacks := map[string]bool{}
	unmeasured := 0
	for _, a := range all {
		if a.Length == nil {
			unmeasured++
		}
		for _, what := range a.Known {
			lacks[what] = true
		}
	}
	if unmeasured > 0 {
		out.lines("", "  ", fmt.Sprintf("The treble is not known at %s: %s not said. Give lengths, places, or --assume.",
			plural(unmeasured, "destination"), plural(len(lacks), "thing")+wasOrWereNot(len(lacks))))
	}
}

func wasOrWereNot(n int) string {
	if n == 1 {
		return " is"
	}
	return " are"
}
