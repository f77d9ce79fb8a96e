package main

import (
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
func printTrace(out *output, t traced, w *words.Words) {
	out.printf("%s: %s\n", t.Point, w.Point(t.Point))
	if t.If != nil {
		out.lines("  ", "    ", words.Put("with {plug} this would be so:", "plug", t.If.words()))
	}
	if len(t.Joined) > 0 {
		out.lines("  ", "  ", words.Put("two outputs joined here, {joined}: what is heard is not defined", "joined", names(t.Joined)))
	}
	if !t.source {
		out.lines("  ", "    ", words.Put("hears {outputs}", "outputs", orNothing(t.Hears)))
		printBeyond(out, "which came through gear from ", t.Origins)
		printWays(out, w, waysOf(t.Paths, func(p path) bool { return p.To == t.Point }))
	}
	if !t.destination {
		out.lines("  ", "    ", words.Put("reaches {inputs}", "inputs", orNothing(t.Reaches)))
		printWays(out, w, waysOf(t.Paths, func(p path) bool { return p.From == t.Point }))
	}
	printBeyond(out, "and goes on through gear to ", t.Onward)
	if t.If != nil {
		printIf(out, t.If, w)
	}
}

func printBeyond(out *output, phrase string, points []name.Point) {
	if len(points) > 0 {
		out.lines("    ", "    ", phrase+names(points))
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
		out.lines("    ", "      ", w.Way(p.way))
		out.lines("      ", "        ", broken(w.Breaks(p.breaks)))
		count++
		if last := i == len(paths)-1; !last && paths[i+1].From == p.From && paths[i+1].To == p.To {
			continue
		}
		if count >= heard.MaxWays {
			out.lines("    ", "      ", words.Put("and perhaps by more ways: only the {count} shortest from there to there are looked for", "count", strconv.Itoa(count)))
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
