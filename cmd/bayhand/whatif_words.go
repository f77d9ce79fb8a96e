package main

import (
	"bayhand/recall/words"
)

// words are what would be plugged, as files and commands name it.
func (w *whatIf) words() string {
	if len(w.Ends) == 1 {
		return "a dummy in " + w.Ends[0].String()
	}
	return "a " + thing(w.Do) + " " + w.Ends[0].String() + " - " + w.Ends[1].String()
}

// printIf says what the plug would change.
func printIf(out *output, w *whatIf, in *words.Words) {
	out.printf("A%s would change:\n", w.words()[1:])
	for _, c := range w.Changes {
		out.lines("  ", "    ", c.Destination.String()+" hears "+orNothing(c.Hears)+", and would hear "+orNothing(c.Would))
	}
	if len(w.Changes) == 0 {
		out.printf("  nothing that any input hears\n")
	}
	for _, g := range w.Joins {
		out.lines("  ", "    ", "outputs would be joined, which can damage them: "+names(g))
	}
	for _, g := range w.Loops {
		out.lines("  ", "    ", "a signal could go round and howl, through "+names(g))
	}
	for _, c := range w.Cautions {
		out.lines("  ", "    ", c.Severity+": "+c.Message+" ("+c.Code+")")
	}
	out.lines("  ", "    ", "while it goes in, everything on "+in.Points(w.Ends)+" may click: loudspeakers and headphones down, phantom power off")
}
