package paper

import (
	"fmt"
	"strconv"
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
		all = append(all, fmt.Sprintf("%s of cable %s, in %s", metres(c), words.Clean(kind), count(c.Cuts, "cut")))
	}
	all = append(all, count(b.Joints, "joint")+" to solder, press or screw", count(b.Wraps, "wrap")+" for ends")
	if b.UnknownLengths > 0 {
		all = append(all, count(b.UnknownLengths, "cable")+" of a length not known: not counted above")
	}
	if b.UnknownPlugs > 0 {
		all = append(all, count(b.UnknownPlugs, "end")+" of a plug not known: not counted above")
	}
	return all
}

// KitTitle stands above KitLines.
const KitTitle = "To own for the bay, as the sessions that take most need it"

// KitLines are cords, leads and dummies in words, the shortest last.
func KitLines(k schedule.Kit) []string {
	var all []string
	for _, c := range k.Cords {
		length := "of a length not known"
		if c.Length > 0 {
			length = "of " + c.Length.String()
		}
		kind := words.Clean(c.Plugs[0])
		if c.Plugs[0] != c.Plugs[1] {
			kind = strings.TrimSpace(words.Clean(c.Plugs[0] + " to " + c.Plugs[1]))
		}
		line := count(c.Count, strings.TrimSpace(kind+" cord")) + " " + length
		if c.Poles == 2 {
			line += ", two-pole"
		}
		all = append(all, line)
	}
	if k.Leads > 0 {
		all = append(all, leadLine(k))
	}
	switch {
	case k.Dummies == 1:
		all = append(all, "1 dummy")
	case k.Dummies > 1:
		all = append(all, strconv.Itoa(k.Dummies)+" dummies")
	}
	if len(all) == 0 {
		all = []string{"nothing: no session takes a cord"}
	}
	return all
}

// leadLine counts the gear cables, with how long they must be where that is known.
func leadLine(k schedule.Kit) string {
	text := count(k.Leads, "gear cable")
	if len(k.LeadLengths) == 0 {
		return text
	}
	var lengths []string
	for _, l := range k.LeadLengths {
		lengths = append(lengths, words.Metres(l))
	}
	return words.Put("{cables}, about {lengths} as estimated from places", "cables", text, "lengths", words.List(lengths))
}

func metres(c schedule.Metres) string {
	return strconv.FormatInt(int64(c.Length/1e9), 10) + " m"
}
