package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
)

// heard takes in that a cord was found with test sound where it is known to be, or
// was not, and then is no more than told. What is not known there cannot be
// measured: it was listened to with another patch than the one that is known now.
func (t *telling) heard(a, b name.Point, how How) error {
	fact, text := t.fact, "not heard as it should be with test sound: {cord}"
	if how == Measured {
		fact, text = Fact{How: how, Since: t.fact.Since}, "heard with test sound: {cord}"
	}
	return t.listened(a, b, fact, text)
}

// byEar takes in that a person followed a cord by ear.
func (t *telling) byEar(a, b name.Point) error {
	return t.listened(a, b, t.fact, "followed by ear: {cord}")
}

func (t *telling) listened(a, b name.Point, fact Fact, text string) error {
	at := slices.IndexFunc(t.m.Known.Cords, func(c KnownCord) bool { return c.Same(patch.Cord{A: a, B: b}) })
	if at < 0 {
		return tell(ErrConflict, "no cord is known to be in %s and %s; listen again with the patch that is known now", a, b)
	}
	t.m.Known = t.m.Known.clone()
	t.m.Known.Cords[at].Fact = fact
	t.m.BayTold = true
	t.says(Event{Kind: PersonDid, Text: phrase.Put(text, "cord", joined(t.m.Known.Cords[at].Ends()))})
	return nil
}
