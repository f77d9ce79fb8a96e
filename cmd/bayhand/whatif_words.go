package main

import (
	"bayhand/recall/words"
)

// words are what would be plugged, as files and commands name it.
func (w *whatIf) words() string {
	if len(w.Ends) == 1 {
		return words.Put("a dummy in {jack}", "jack", w.Ends[0].String())
	}
	return words.Put("a {thing} {one} - {other}", "thing", thing(w.Do), "one", w.Ends[0].String(), "other", w.Ends[1].String())
}

// printIf says what the plug would change.
func printIf(out *output, w *whatIf, in *words.Words) {
	out.printf("A%s would change:\n", w.words()[1:])
	for _, c := range w.Changes {
		out.lines("  ", "    ", words.Put("{destination} hears {hears}, and would hear {would}", "destination", c.Destination.String(), "hears", orNothing(c.Hears), "would", orNothing(c.Would)))
	}
	if len(w.Changes) == 0 {
		out.printf("  nothing that any input hears\n")
	}
	for _, g := range w.Joins {
		out.lines("  ", "    ", words.Put("outputs would be joined, which can damage them: {outputs}", "outputs", names(g)))
	}
	for _, g := range w.Loops {
		out.lines("  ", "    ", words.Put("a signal could go round and feed back, through {places}", "places", names(g)))
	}
	for _, c := range w.Cautions {
		out.lines("  ", "    ", c.Severity+": "+c.Message+" ("+c.Code+")")
	}
	out.lines("  ", "    ", words.Put("while it goes in, everything on {ends} may click: loudspeakers and headphones down, phantom power off", "ends", in.Points(w.Ends)))
}
