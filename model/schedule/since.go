package schedule

import (
	"bayhand/model/phrase"
	"slices"
	"strings"
)

// Change is what is to do at one cable.
type Change struct {
	// Do is make, change or take out.
	Do    string `json:"do"`
	Cable Cable  `json:"cable"`
	// What says what differs of a cable that is changed.
	What []string `json:"what"`
}

// Kinds of change.
const (
	Make    = "make"
	Alter   = "change"
	TakeOut = "take out"
)

// Since is the work from an earlier schedule to a later one: a rewire is a short list.
// What is taken out comes first, then what is changed, then what is made. A number
// given to a cable that had none is no work.
func Since(before, now Schedule) []Change {
	old := map[string]Cable{}
	for _, c := range slices.Concat(before.Cables, before.Loudspeakers) {
		old[identity(c)] = c
	}
	changes := []Change{}
	var altered, made []Change
	for _, c := range slices.Concat(now.Cables, now.Loudspeakers) {
		was, had := old[identity(c)]
		delete(old, identity(c))
		if !had {
			made = append(made, Change{Make, c, []string{}})
			continue
		}
		if what := differences(was, c); len(what) > 0 {
			altered = append(altered, Change{Alter, c, what})
		}
	}
	for _, c := range slices.Concat(before.Cables, before.Loudspeakers) {
		if was, left := old[identity(c)]; left {
			changes = append(changes, Change{TakeOut, was, []string{}})
		}
	}
	return append(append(changes, altered...), made...)
}

// identity is what a cable joins, in the order of its pairs.
func identity(c Cable) string {
	var all []string
	for _, p := range c.Pairs {
		all = append(all, p.From.Point.String()+" "+p.To.Point.String())
	}
	slices.Sort(all)
	return strings.Join(all, ", ")
}

func differences(was, now Cable) []string {
	what := []string{}
	add := func(title, end, a, b string) {
		if a != b {
			what = append(what, phrase.Put(title, "was", orNothing(a), "now", orNothing(b), "end", end))
		}
	}
	if was.Number != "" {
		add("number {was}, now {now}", "", was.Number, now.Number)
	}
	add("kind {was}, now {now}", "", was.Kind, now.Kind)
	if !was.Estimated && !now.Estimated {
		add("length {was}, now {now}", "", was.Length.String(), now.Length.String())
	}
	for i, p := range now.Pairs {
		q := was.Pairs[i]
		if p.From.Point != q.From.Point {
			add("pair of {end} {was}, now {now}", p.From.Label, q.From.Label, p.From.Label)
			continue
		}
		for _, side := range [][2]End{{q.From, p.From}, {q.To, p.To}} {
			add("plug at {end} {was}, now {now}", side[1].Label, side[0].Plug, side[1].Plug)
			add("contacts at {end} {was}, now {now}", side[1].Label, contactsText(side[0]), contactsText(side[1]))
		}
		add("cores of {end} {was}, now {now}", p.From.Label, q.Core, p.Core)
		add("cold leg of {end} {was}, now {now}", p.From.Label, q.Cold, p.Cold)
		add("shield of {end} {was}, now {now}", p.From.Label, q.Shield, p.Shield)
	}
	return what
}

func contactsText(e End) string { return strings.Trim(e.Hot+" "+e.Cold+" "+e.Shield, " ") }

func orNothing(text string) string {
	if text == "" || text == "0 cm" {
		return "unsaid"
	}
	return text
}
