package main

import (
	"bayhand/recall/words"
)

// words are what would be plugged.
func (w *whatIf) words(in *words.Words) string {
	if len(w.Ends) == 1 {
		return words.Put("a dummy plug in {jack}", "jack", in.Point(w.Ends[0]))
	}
	return words.Put("a {thing} {one} - {other}", "thing", thing(w.Do), "one", in.Point(w.Ends[0]), "other", in.Point(w.Ends[1]))
}

// printIf says what the plug would change.
func printIf(out *output, w *whatIf, in *words.Words) {
	out.lines("", "  ", words.Put("Changes with {plug}:", "plug", w.words(in)))
	for _, c := range w.Changes {
		out.lines("  ", "    ", words.Put("{destination}: now {before}, then {after}", "destination", in.Point(c.Destination), "before", in.From(c.Hears), "after", in.From(c.Would)))
	}
	if len(w.Changes) == 0 {
		out.printf("  none: each input keeps its source\n")
	}
	for _, g := range w.Joins {
		out.lines("  ", "    ", words.Put("outputs would be joined, which can damage them: {outputs}", "outputs", in.Runs(g)))
	}
	for _, g := range w.Loops {
		out.lines("  ", "    ", words.Put("a signal could go round and feed back, through {places}", "places", in.Runs(g)))
	}
	for _, c := range w.Cautions {
		out.lines("  ", "    ", c.Severity+": "+in.Said(c.Message)+" ("+c.Code+")")
	}
	out.lines("  ", "    ", words.Put("while it goes in, everything on {ends} may click: loudspeakers and headphones down, phantom power off", "ends", in.Points(w.Ends)))
}
