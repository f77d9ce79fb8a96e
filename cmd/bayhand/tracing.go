package main

import (
	"fmt"
	"strings"

	"github.com/rivo/uniseg"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/recall/words"
)

// printTrace says a trace in words: what the point hears and reaches, and each
// way there.
func (a *app) printTrace(t traced, w *words.Words) {
	a.printf("%s: %s\n", t.Point, w.Point(t.Point))
	if len(t.Joined) > 0 {
		a.lines("  ", "  ", "two outputs joined here, "+names(t.Joined)+": what is heard is not defined")
	}
	if !t.source {
		a.lines("  ", "    ", "hears "+orNothing(t.Hears))
		a.printOrigins(t)
		a.printWays(t, w, func(p path) bool { return p.To == t.Point })
	}
	if !t.destination {
		a.lines("  ", "    ", "reaches "+orNothing(t.Reaches))
		a.printWays(t, w, func(p path) bool { return p.From == t.Point })
	}
}

func (a *app) printOrigins(t traced) {
	if len(t.Origins) > 0 {
		a.lines("    ", "    ", "which came through gear from "+names(t.Origins))
	}
}

func (a *app) printWays(t traced, w *words.Words, wanted func(path) bool) {
	for _, p := range t.Paths {
		if wanted(p) {
			a.lines("    ", "      ", way(p, w))
		}
	}
}

// way is one way in words: "from interface out 1, at main 1 top, through the
// normal, at main 1 bottom, to desk in 1".
func way(p path, w *words.Words) string {
	phrases := []string{"from " + w.Point(p.Steps[0].Point)}
	for i, step := range p.Steps[1:] {
		phrases = append(phrases, through(step.By)...)
		preposition := "at "
		if i == len(p.Steps)-2 {
			preposition = "to "
		}
		phrases = append(phrases, preposition+w.Point(step.Point))
	}
	return strings.Join(phrases, ", ")
}

// through names what a signal goes through; a wire is how it comes to every
// jack, and is not worth a word.
func through(by string) []string {
	switch by {
	case heard.ByWire, "":
		return nil
	case heard.ByNormal, heard.ByStrap, heard.ByCrosspoint, heard.ByMult, heard.ByParallel:
		return []string{"through the " + by}
	case heard.ByTie:
		return []string{"along the tie"}
	}
	return []string{"by a " + by}
}

func orNothing(points []name.Point) string {
	if len(points) == 0 {
		return "nothing"
	}
	return names(points)
}

// names are points as the files have them, runs as ranges.
func names(points []name.Point) string {
	return strings.Join(name.Fold(points), ", ")
}

// lines prints a sentence in lines of at most 80 columns.
func (a *app) lines(first, rest, sentence string) {
	for _, line := range wrapped(first, rest, sentence) {
		fmt.Fprintln(a.out, line)
	}
}

// wrapped is a sentence in lines of at most 80 columns, the first and the others
// with their own indents. A longer word has a line of its own.
func wrapped(first, rest, sentence string) []string {
	const width = 80
	var all []string
	line, fresh := first, true
	for _, word := range strings.Fields(sentence) {
		if !fresh && uniseg.StringWidth(line)+1+uniseg.StringWidth(word) > width {
			all = append(all, line)
			line, fresh = rest, true
		}
		if !fresh {
			line += " "
		}
		line += word
		fresh = false
	}
	return append(all, line)
}
