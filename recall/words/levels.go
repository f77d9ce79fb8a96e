package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"bayhand/model/level"
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
		return "nothing to " + high + " " + unit
	case low == high:
		return high + " " + unit
	}
	return low + " to " + high + " " + unit
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
	add := func(when bool, format string, args ...any) {
		if when {
			all = append(all, fmt.Sprintf(format, args...))
		}
	}
	add(a.Early(), "clips first %s, %s above", clipsAt(a), Amount(a.Headroom))
	add(a.Forbidden(), "the output sees %s, and may see %s at the least", loadOf(a), a.Source.Line.MinLoad)
	if a.Dull() {
		add(true, "%s at 20 kHz", Decibels(*a.Treble))
	}
	add(a.Shorted(), "the cold leg is driven into ground by %s, %s", grounds(a.Cold), cold(a.Source.Line))
	add(a.Undecided(), "of which kind the balanced output is, nobody said, and it matters here")
	add(len(a.Joined) > 0, "outputs are joined on the way, %s: what is heard is not defined", strings.Join(name.Fold(a.Joined), ", "))
	return all
}

// Arrives says the level at a destination, and how far from what is wanted that is.
func Arrives(a level.Arrival) string {
	return "arrives at " + LevelOf(a.Arrives) + ", " + overWords(a.Over)
}

func overWords(over level.Range) string {
	switch {
	case over.Exact() && math.Abs(over.High) < 0.05:
		return "as wanted"
	case over.Exact() && over.High > 0:
		return Amount(over) + " over what is wanted"
	case over.Exact():
		return Amount(over) + " under what is wanted"
	}
	return Decibels(over) + " against what is wanted"
}

func clipsAt(a level.Arrival) string {
	if a.Clips == a.Source.Point {
		return "at its source"
	}
	return "at " + a.Clips.String()
}

func loadOf(a level.Arrival) string {
	return strconv.FormatFloat(math.Round(float64(*a.Load)), 'f', -1, 64) + " ohm"
}

// cold is the current into ground at the working level and at clipping.
func cold(l studio.Line) string {
	milliampere := func(dBu float64) string {
		return strconv.FormatFloat(math.Round(level.ColdCurrent(l, dBu)*1e4)/10, 'f', -1, 64) + " mA"
	}
	return fmt.Sprintf("%s at its working level and %s when it clips", milliampere(float64(l.Level)), milliampere(float64(l.Max)))
}

func grounds(all []level.Ground) string {
	var points []name.Point
	for _, g := range all {
		points = append(points, g.At)
	}
	return strings.Join(name.Fold(points), ", ")
}
