package planner

import (
	"slices"
	"strings"

	"bayhand/model/measure"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
	"bayhand/model/studio"
)

// kindsWords say of which kinds cords are: by length, plugs, colour and poles, each as far
// as the cords owned differ in it. Cords is the word for one or for several.
func kindsWords(t *problem.Problem, kinds []*plan.OwnedCord, cords string) string {
	owned := ownedCords(t)
	if len(owned) < 2 {
		return cords
	}
	if len(kinds) > 1 && all(owned, func(o *plan.OwnedCord) bool { return isAmong(o, kinds) }) {
		return phrase.Put("{cords} of any kind", "cords", cords)
	}
	d := describe(owned, kinds)
	tells := func(d description) bool {
		return all(owned, func(o *plan.OwnedCord) bool { return isAmong(o, kinds) == d.fits(o) })
	}
	if tells(d) {
		return d.fewest(tells).words(cords)
	}
	var each []string
	for _, k := range kinds {
		d := describe(owned, []*plan.OwnedCord{k})
		each = append(each, d.words(cords))
	}
	slices.Sort(each)
	return strings.Join(slices.Compact(each), " or ")
}

// ownedCords are the kinds of cord of which any is owned, also those that sessions in other
// rooms have.
func ownedCords(t *problem.Problem) []*plan.OwnedCord {
	var owned []*plan.OwnedCord
	for k, count := range t.Stock.Counts {
		if count > 0 {
			owned = append(owned, ownedCord(t, k))
		}
	}
	for _, k := range t.Options.Elsewhere.Cords {
		if kind := kindOf(k); !isAmong(&kind, owned) {
			owned = append(owned, &kind)
		}
	}
	return owned
}

func ownedCord(t *problem.Problem, k int) *plan.OwnedCord {
	kind := kindOf(t.Stock.Kinds[k])
	return &kind
}

func kindOf(c studio.StockCord) plan.OwnedCord {
	return plan.OwnedCord{Length: c.Length, Ends: [2]string{c.Ends[0].String(), c.Ends[1].String()}, Poles: c.Poles, Colour: c.Colour}
}

func all(of []*plan.OwnedCord, is func(*plan.OwnedCord) bool) bool {
	return !slices.ContainsFunc(of, func(o *plan.OwnedCord) bool { return !is(o) })
}

func isAmong(c *plan.OwnedCord, kinds []*plan.OwnedCord) bool {
	return slices.ContainsFunc(kinds, func(k *plan.OwnedCord) bool { return *k == *c })
}

// description is what some kinds of cord have that not all owned have; nil for what says
// nothing.
type description struct {
	lengths               []measure.Length
	plugs, colours, poles []string
}

func describe(owned, kinds []*plan.OwnedCord) description {
	return description{
		lengths: telling(owned, kinds, func(c *plan.OwnedCord) measure.Length { return c.Length }),
		plugs:   telling(owned, kinds, plugsWords),
		colours: telling(owned, kinds, func(c *plan.OwnedCord) string { return c.Colour }),
		poles:   telling(owned, kinds, polesWord),
	}
}

// telling are the values that some kinds have, sorted; nil where the owned have no other.
func telling[V interface{ ~int64 | ~string }](owned, kinds []*plan.OwnedCord, of func(*plan.OwnedCord) V) []V {
	values := func(cords []*plan.OwnedCord) []V {
		var found []V
		for _, c := range cords {
			found = append(found, of(c))
		}
		slices.Sort(found)
		return slices.Compact(found)
	}
	has := values(kinds)
	if slices.Equal(has, values(owned)) {
		return nil
	}
	return has
}

// fits says whether a kind of cord is as the description says.
func (d description) fits(c *plan.OwnedCord) bool {
	return (d.lengths == nil || slices.Contains(d.lengths, c.Length)) &&
		(d.plugs == nil || slices.Contains(d.plugs, plugsWords(c))) &&
		(d.colours == nil || slices.Contains(d.colours, c.Colour)) &&
		(d.poles == nil || slices.Contains(d.poles, polesWord(c)))
}

// fewest is a description without what it does not need to tell the kinds from all others:
// a colour first, which no plug asks for.
func (d description) fewest(tells func(description) bool) description {
	for _, without := range []func(*description){
		func(d *description) { d.colours = nil }, func(d *description) { d.poles = nil },
		func(d *description) { d.lengths = nil }, func(d *description) { d.plugs = nil },
	} {
		less := d
		if without(&less); tells(less) {
			d = less
		}
	}
	return d
}

// words puts the description around the word for cords: "red TS cords of 60 cm with bantam
// plugs".
func (d description) words(cords string) string {
	for _, before := range [][]string{d.poles, d.colours} {
		if said := either(before); said != "" {
			cords = phrase.Put("{which} {cords}", "which", said, "cords", cords)
		}
	}
	var lengths []string
	for _, l := range d.lengths {
		lengths = append(lengths, l.String())
	}
	if len(lengths) > 0 {
		cords = phrase.Put("{cords} of {length}", "cords", cords, "length", either(lengths))
	}
	if said := either(d.plugs); said != "" {
		cords = phrase.Put("{cords} {plugs}", "cords", cords, "plugs", said)
	}
	return cords
}

// either are words of which one holds, without those that are empty.
func either(words []string) string {
	return strings.Join(slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == "" }), " or ")
}

// plugsWords name the plugs of a kind of cord; nothing where any fit.
func plugsWords(c *plan.OwnedCord) string {
	a, b := min(c.Ends[0], c.Ends[1]), max(c.Ends[0], c.Ends[1])
	switch {
	case a == "":
		return ""
	case a == b:
		return phrase.Put("with {kind} plugs", "kind", a)
	}
	return phrase.Put("from {kind} to {other}", "kind", a, "other", b)
}

// polesWord is TS for a cord of two poles and TRS for any other.
func polesWord(c *plan.OwnedCord) string {
	if c.Poles == 2 {
		return "TS"
	}
	return "TRS"
}
