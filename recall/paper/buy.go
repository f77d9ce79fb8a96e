package paper

import (
	"fmt"
	"strings"

	"bayhand/model/schedule"
	"bayhand/recall/words"
)

// BuyLines are what to buy in words.
func BuyLines(b schedule.Buy) []string {
	var all []string
	for _, p := range b.Plugs {
		all = append(all, fmt.Sprintf("%d x %s", p.Count, strings.TrimSpace(words.Clean(p.Plug+" "+p.Gender))))
	}
	for _, c := range b.Cable {
		kind := c.Kind
		if kind == "" {
			kind = "of a kind not said"
		}
		all = append(all, words.Count(c.Cuts, "{length} of cable {kind}, in 1 cut", "{length} of cable {kind}, in {n} cuts", "length", c.Length.String(), "kind", words.Clean(kind)))
	}
	all = append(all, words.Count(b.Joints, "1 joint to solder, press or screw", "{n} joints to solder, press or screw"),
		words.Count(b.Wraps, "1 wrap for ends", "{n} wraps for ends"))
	if b.UnknownLengths > 0 {
		all = append(all, words.Count(b.UnknownLengths, "1 cable of a length not known: not counted above", "{n} cables of a length not known: not counted above"))
	}
	if b.UnknownPlugs > 0 {
		all = append(all, words.Count(b.UnknownPlugs, "1 end of a plug not known: not counted above", "{n} ends of a plug not known: not counted above"))
	}
	return all
}

// KitTitle stands above KitLines.
const KitTitle = "To own for the bay, as the sessions that take most need it"

// KitLines are cords, leads and dummies in words, the shortest last.
func KitLines(k schedule.Kit) []string {
	var all []string
	for _, c := range k.Cords {
		all = append(all, cordLine(c))
	}
	if k.Leads > 0 {
		all = append(all, leadLine(k))
	}
	if k.Dummies > 0 {
		all = append(all, words.Count(k.Dummies, "1 dummy", "{n} dummies"))
	}
	if len(all) == 0 {
		all = []string{"nothing: no session takes a cord"}
	}
	return all
}

// cordLine counts cords of one kind.
func cordLine(c schedule.Cords) string {
	kind := words.Clean(c.Plugs[0])
	if c.Plugs[0] != c.Plugs[1] {
		kind = strings.TrimSpace(words.Put("{one} to {other}", "one", words.Clean(c.Plugs[0]), "other", words.Clean(c.Plugs[1])))
	}
	one, several := "1 {kind} cord of {length}", "{n} {kind} cords of {length}"
	switch {
	case c.Length == 0 && c.Poles == 2:
		one, several = "1 {kind} cord of a length not known, TS", "{n} {kind} cords of a length not known, TS"
	case c.Length == 0:
		one, several = "1 {kind} cord of a length not known", "{n} {kind} cords of a length not known"
	case c.Poles == 2:
		one, several = "1 {kind} cord of {length}, TS", "{n} {kind} cords of {length}, TS"
	}
	text := words.Count(c.Count, one, several, "kind", kind, "length", c.Length.String())
	return strings.Join(strings.Fields(text), " ") // a bay may not say its kind of jack
}

// leadLine counts the gear cables, with how long they must be where that is known.
func leadLine(k schedule.Kit) string {
	if len(k.LeadLengths) == 0 {
		return words.Count(k.Leads, "1 gear cable", "{n} gear cables")
	}
	var lengths []string
	for _, l := range k.LeadLengths {
		lengths = append(lengths, l.String())
	}
	return words.Count(k.Leads, "1 gear cable, about {lengths} as estimated from places", "{n} gear cables, about {lengths} as estimated from places", "lengths", words.List(lengths))
}
