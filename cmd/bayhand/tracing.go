package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/rivo/uniseg"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// printTrace says a trace in words: what the point hears and reaches, and each
// way there with what would break it.
func printTrace(out *output, t traced, w *words.Words) {
	out.lines("", "  ", words.Put("{place} ({name})", "place", w.Point(t.Point), "name", t.Point.String()))
	if t.If != nil {
		out.lines("  ", "    ", words.Put("as it would be with {plug}", "plug", t.If.words(w)))
	}
	if len(t.Joined) > 0 {
		out.lines("  ", "  ", words.Put("outputs joined here: {joined}. What arrives is not defined", "joined", w.Runs(t.Joined)))
	}
	if !t.source {
		out.lines("  ", "    ", w.From(t.Hears))
		printPlaces(out, "before that, through gear: {places}", w.Runs(t.Origins))
		printWays(out, w, waysOf(t.Paths, func(p path) bool { return p.To == t.Point }))
	}
	if !t.destination {
		out.lines("  ", "    ", reached(w.Runs(t.Reaches)))
		printWays(out, w, waysOf(t.Paths, func(p path) bool { return p.From == t.Point }))
	}
	printPlaces(out, "after that, through gear: {places}", w.Runs(t.Onward))
	if t.If != nil {
		printIf(out, t.If, w)
	}
}

func reached(inputs string) string {
	if inputs == "" {
		return "to no input"
	}
	return words.Put("to {inputs}", "inputs", inputs)
}

func printPlaces(out *output, sentence, places string) {
	if places != "" {
		out.lines("    ", "    ", words.Put(sentence, "places", places))
	}
}

func waysOf(all []path, wanted func(path) bool) []path {
	return slices.DeleteFunc(slices.Clone(all), func(p path) bool { return !wanted(p) })
}

// printWays says each way, and where a knot of metal has more than are looked
// for, that there may be more.
func printWays(out *output, w *words.Words, paths []path) {
	count := 0
	for i, p := range paths {
		out.fill(out.to, "    ", "      ", hops(out.named(w.Way(p.way))))
		out.lines("      ", "        ", broken(w.Breaks(p.breaks)))
		count++
		if last := i == len(paths)-1; !last && paths[i+1].From == p.From && paths[i+1].To == p.To {
			continue
		}
		if count >= heard.MaxWays {
			out.lines("    ", "      ", words.Put("perhaps also by more ways: only the {count} shortest are looked for", "count", strconv.Itoa(count)))
		}
		count = 0
	}
}

func broken(by string) string {
	if by == "" {
		return "hard-wired: no plug breaks it"
	}
	return words.Put("broken by {by}", "by", by)
}

// names are points as the files have them, runs as ranges.
func names(points []name.Point) string {
	return strings.Join(name.Fold(points), ", ")
}

// wrapped is a sentence in lines of at most 80 columns, the first and the others
// with their own indents. A name with its number is one word; a longer word has a line of
// its own.
func wrapped(first, rest, sentence string) []string {
	return filled(paper.Width, first, rest, words.Parts(sentence))
}

// hops are the parts of a way that a line keeps together: a place with the arrow that
// leads on from it.
func hops(way string) []string {
	all := strings.Split(way, " -> ")
	for i := range len(all) - 1 {
		all[i] += " ->"
	}
	return all
}

// filled sets parts in lines of so many columns as wrapped does words. In fewer than
// usual an indent takes at most an eighth of them.
func filled(width int, first, rest string, parts []string) []string {
	if width < paper.Width {
		rest = rest[:min(len(rest), width/8)]
		if strings.TrimSpace(first) == "" {
			first = first[:min(len(first), width/8)]
		}
	}
	var all []string
	line, fresh := first, true
	for _, part := range parts {
		if !fresh && uniseg.StringWidth(line)+1+uniseg.StringWidth(part) > width {
			all = append(all, line)
			line, fresh = rest, true
		}
		if !fresh {
			line += " "
		}
		line += part
		fresh = false
	}
	return append(all, line)
}
