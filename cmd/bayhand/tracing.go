package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/rivo/uniseg"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/recall/words"
)

// printTrace says a trace in words: what the point hears and reaches, and each
// way there with what would break it.
func (a *app) printTrace(t traced, w *words.Words) {
	a.printf("%s: %s\n", t.Point, w.Point(t.Point))
	if t.If != nil {
		a.lines("  ", "    ", "with "+t.If.words()+" this would be so:")
	}
	if len(t.Joined) > 0 {
		a.lines("  ", "  ", "two outputs joined here, "+names(t.Joined)+": what is heard is not defined")
	}
	if !t.source {
		a.lines("  ", "    ", "hears "+orNothing(t.Hears))
		a.printBeyond("which came through gear from ", t.Origins)
		a.printWays(w, waysOf(t.Paths, func(p path) bool { return p.To == t.Point }))
	}
	if !t.destination {
		a.lines("  ", "    ", "reaches "+orNothing(t.Reaches))
		a.printWays(w, waysOf(t.Paths, func(p path) bool { return p.From == t.Point }))
	}
	a.printBeyond("and goes on through gear to ", t.Onward)
	if t.If != nil {
		a.printIf(t.If, w)
	}
}

func (a *app) printBeyond(phrase string, points []name.Point) {
	if len(points) > 0 {
		a.lines("    ", "    ", phrase+names(points))
	}
}

func waysOf(all []path, wanted func(path) bool) []path {
	return slices.DeleteFunc(slices.Clone(all), func(p path) bool { return !wanted(p) })
}

// printWays says each way, and where a knot of metal has more than are looked
// for, that there may be more.
func (a *app) printWays(w *words.Words, paths []path) {
	count := 0
	for i, p := range paths {
		a.lines("    ", "      ", w.Way(p.way))
		a.lines("      ", "        ", broken(w.Breaks(p.breaks)))
		count++
		if last := i == len(paths)-1; !last && paths[i+1].From == p.From && paths[i+1].To == p.To {
			continue
		}
		if count >= heard.MaxWays {
			a.lines("    ", "      ", "and perhaps by more ways: only the "+strconv.Itoa(count)+" shortest from there to there are looked for")
		}
		count = 0
	}
}

func broken(by string) string {
	if by == "" {
		return "soldered all the way: nothing at the bay breaks it"
	}
	return "broken by " + by
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
