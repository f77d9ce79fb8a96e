package main

import (
	"fmt"
	"strconv"

	"bayhand/model/level"
	"bayhand/model/name"
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

func printLevels(out *output, answer leveled, all bool) {
	if len(answer.Chains) > 0 {
		printGainPlan(out, answer)
	}
	var shown []words.Alike
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
		shown = append(shown, words.Alike{Ways: [][]name.Point{{a.Source.Point, a.Destination.Point}}, Said: said})
	}
	if !answer.detail && len(shown) > 0 {
		out.printf("%s\n", headOf(all, answer.title))
	}
	for _, g := range words.GroupAlike(shown) {
		out.lines("  ", "    ", g.Way(names))
		for _, line := range g.Said {
			out.lines("    ", "      ", line)
		}
	}
	switch {
	case answer.detail && len(shown) == 0:
		out.printf("no signal arrives there\n")
	case !answer.detail && quiet > 0:
		out.printf("%s with nothing to say; --all prints them\n", plural(quiet, "other destination"))
	case !answer.detail && len(shown) == 0:
		out.printf("no signal arrives anywhere\n")
	}
	printUnknown(out, answer.Destinations)
	out.lines("", "", words.LevelsCaution)
}

func headOf(all bool, title string) string {
	if all {
		return words.Put("Every destination, {title}:", "title", title)
	}
	return words.Put("Worth a look, {title}:", "title", title)
}

func printGainPlan(out *output, answer leveled) {
	out.lines("", "", words.GainPlanOf(answer.title))
	for _, g := range words.GainPlan(answer.chains, answer.studio.Reference, func(owner string) string { return owner }) {
		label := g.Label
		if label != "" {
			label += ": "
		}
		out.lines("  ", "    ", label+g.Way(names))
		for _, line := range g.Said {
			out.lines("    ", "      ", line)
		}
	}
}

// negative turns a loss into what is added.
func negative(r level.Range) level.Range { return level.Range{Low: -r.High, High: -r.Low} }

// detailed is everything of an arrival.
func detailed(a level.Arrival) []string {
	said := words.Looks(a)
	said = append(said,
		fmt.Sprintf("%s on the way; the destination works at %s", words.Decibels(negative(a.Loss)), words.LevelOf(words.ExactLevel(a.Wants))),
		fmt.Sprintf("clips first at %s, %s above the working level of the source", a.Clips, words.Amount(a.Headroom)))
	if a.Load != nil {
		sentence, ratio := "the output sees {load} ohm", ""
		if a.Ratio != nil {
			sentence, ratio = "the output sees {load} ohm, {ratio} times its own impedance", fmt.Sprintf("%.3g", *a.Ratio)
		}
		said = append(said, words.Put(sentence, "load", strconv.FormatFloat(float64(int(float64(*a.Load)+0.5)), 'f', -1, 64), "ratio", ratio))
	}
	return append(said, cableSaid(a)...)
}

func cableSaid(a level.Arrival) []string {
	if a.Length == nil {
		said := []string{"the treble is not known; what lacks:"}
		return append(said, a.Known...)
	}
	sentence := "through {length} of cable: {treble} at 20 kHz"
	if a.Estimated {
		sentence = "through {length} of cable, estimated: {treble} at 20 kHz"
	}
	text := words.Put(sentence, "length", a.Length.String(), "treble", words.Decibels(*a.Treble))
	if a.Corner != nil {
		text = words.Put("{treble}, half of the power at {corner}", "treble", text, "corner", words.Hertz(*a.Corner))
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
