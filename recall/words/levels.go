package words

import (
	"math"
	"strconv"
	"strings"

	"bayhand/model/level"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// nothing is the level in dBu, or the loss in dB, from which on down a person
// would say that nothing arrives.
const nothing = -60

// Decibels is a range in dB with its sign, to a tenth: +1.2 dB, or -6 to +0.1 dB.
func Decibels(r level.Range) string { return ranged(r, "dB", signed) }

// LevelOf is a level in dBu, to a tenth: +3.9 dBu, or -2 to +3.9 dBu.
func LevelOf(r level.Range) string { return ranged(r, "dBu", signed) }

// Amount is a range in dB without a sign.
func Amount(r level.Range) string {
	return ranged(r, "dB", func(v float64) string { return tenth(math.Abs(v)) })
}

func ranged(r level.Range, unit string, number func(float64) string) string {
	low, high := number(r.Low), number(r.High)
	switch {
	case r.High <= nothing:
		return "nothing"
	case r.Low <= nothing:
		return Put("nothing to {high} {unit}", "high", high, "unit", unit)
	case low == high:
		return high + " " + unit
	}
	return Put("{low} to {high} {unit}", "low", low, "high", high, "unit", unit)
}

func tenth(v float64) string {
	v = math.Round(v*10) / 10
	if v == 0 {
		v = 0 // no minus before it
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func signed(v float64) string {
	text := tenth(v)
	if text != "0" && !strings.HasPrefix(text, "-") {
		return "+" + text
	}
	return text
}

// Hertz is a frequency as a person says it: 340 Hz, 28.1 kHz.
func Hertz(f float64) string {
	if f < 1000 {
		return strconv.FormatFloat(math.Round(f), 'f', -1, 64) + " Hz"
	}
	return strconv.FormatFloat(math.Round(f/100)/10, 'f', -1, 64) + " kHz"
}

// Looks are what an experienced hand would say of an arrival, a clause each, with
// the levels first; none but the levels where there is nothing to say.
func Looks(a level.Arrival) []string {
	all := []string{Arrives(a)}
	add := func(when bool, sentence string, places ...string) {
		if when {
			all = append(all, Put(sentence, places...))
		}
	}
	add(a.Early(), clipsFirst(a), "place", a.Clips.String(), "headroom", Amount(a.Headroom))
	if a.Forbidden() {
		add(true, "the output sees {load}, and may see {least} at the least", "load", loadOf(a), "least", a.Source.Line.MinLoad.String())
	}
	if a.Dull() {
		add(true, "{level} at 20 kHz", "level", Decibels(*a.Treble))
	}
	if a.Shorted() {
		add(true, "the cold leg is driven into ground by {places}, {working} at its working level and {clipping} when it clips",
			"places", grounds(a.Cold), "working", coldCurrent(a.Source.Line, a.Source.Line.Level), "clipping", coldCurrent(a.Source.Line, a.Source.Line.Max))
	}
	add(a.Undecided(), "the kind of balanced output is not in the file, and it matters here")
	add(len(a.Joined) > 0, "outputs are joined on the way: {outputs}. What arrives is not defined", "outputs", strings.Join(name.Fold(a.Joined), ", "))
	return all
}

// Arrives says the level at a destination, and how far from what is wanted that is.
func Arrives(a level.Arrival) string {
	return Put(arrives(a.Over), "level", LevelOf(a.Arrives), "amount", Amount(a.Over), "range", Decibels(a.Over))
}

func arrives(over level.Range) string {
	switch {
	case over.Exact() && math.Abs(over.High) < 0.05:
		return "arrives at {level}, as wanted"
	case over.Exact() && over.High > 0:
		return "arrives at {level}, {amount} over what is wanted"
	case over.Exact():
		return "arrives at {level}, {amount} under what is wanted"
	}
	return "arrives at {level}, {range} against what is wanted"
}

// clipsFirst says what clips first as the source goes up.
func clipsFirst(a level.Arrival) string {
	if a.Clips == a.Source.Point {
		return "clips first at its source, {headroom} above"
	}
	return "clips first at {place}, {headroom} above"
}

func loadOf(a level.Arrival) string {
	return strconv.FormatFloat(math.Round(float64(*a.Load)), 'f', -1, 64) + " ohm"
}

// coldCurrent is what a cold leg at a level drives into ground.
func coldCurrent(l studio.Line, at measure.Level) string {
	return strconv.FormatFloat(math.Round(level.ColdCurrent(l, float64(at))*1e4)/10, 'f', -1, 64) + " mA"
}

func grounds(all []level.Ground) string {
	var points []name.Point
	for _, g := range all {
		points = append(points, g.At)
	}
	return strings.Join(name.Fold(points), ", ")
}
