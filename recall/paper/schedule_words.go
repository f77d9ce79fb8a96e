package paper

import (
	"strings"

	"bayhand/model/schedule"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// Headline is a cable in one line: its number, kind and length.
func (c WiringCable) Headline() string {
	number := c.Number
	if number == "" {
		number = "----"
	}
	parts := []string{number}
	if c.Kind != "" {
		parts = append(parts, c.Kind)
	}
	switch {
	case c.Length == 0:
		parts = append(parts, "length not known")
	case c.Estimated:
		parts = append(parts, words.Put("about {length}, estimated", "length", c.Length.String()))
	default:
		parts = append(parts, c.Length.String())
	}
	return strings.Join(parts, ", ")
}

// Notes are what must be known of a pair to make it; pins asks for the contacts.
func Notes(p schedule.Pair, pins bool) []string {
	var notes []string
	if pins {
		notes = append(notes, words.Put("hot {hot} to {far hot}, cold {cold} to {far cold}, shield {shield} to {far shield}",
			"hot", contact(p.From.Hot), "far hot", contact(p.To.Hot), "cold", contact(p.From.Cold), "far cold", contact(p.To.Cold),
			"shield", contact(p.From.Shield), "far shield", contact(p.To.Shield)))
	}
	if p.Core != "" {
		notes = append(notes, coresText(p.Core))
	}
	switch {
	case p.Cold == "":
		notes = append(notes, words.Put("cold leg: {why}", "why", p.Because))
	case p.Because != "":
		notes = append(notes, words.Put("cold leg {done}: {why}", "done", p.Cold, "why", p.Because))
	}
	if p.Shield != studio.ShieldBoth.String() {
		notes = append(notes, words.Put("shield joined at the {end} alone; mark its other end", "end", p.Shield))
	}
	return notes
}

func contact(text string) string {
	if text == "" {
		return "-"
	}
	return text
}

// coresText says which core is which: hot WH, cold BU.
func coresText(cores string) string {
	hot, cold, two := strings.Cut(cores, " ")
	if !two {
		return words.Put("core {colour}", "colour", hot)
	}
	return words.Put("cores: hot {hot}, cold {cold}", "hot", hot, "cold", cold)
}

// PairText is a pair in one line, with its plugs.
func PairText(p schedule.Pair) string {
	return endText(p.From) + " -> " + endText(p.To)
}

func endText(e schedule.End) string {
	label := words.Clean(e.Label)
	switch plug := strings.TrimSpace(e.Plug + " " + e.Gender); {
	case e.Plug == schedule.Bare:
		return words.Put("{place} (bare)", "place", label)
	case e.Socket != "":
		return words.Put("{place} ({plug})", "place", label, "plug", strings.TrimSpace(plug+" "+words.Clean(e.Socket)))
	case plug != "":
		return words.Put("{place} ({plug})", "place", label, "plug", words.Clean(plug))
	}
	return label
}
