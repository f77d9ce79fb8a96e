package keep

import (
	"cmp"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// tally is who has what of places, cords and dummies in use outside a scope: each session
// in other rooms, and each room that holds none and has some in all the same.
type tally struct {
	scope *scope.Scope
	all   []plan.InUse
}

// by is the part of who has the first of some points that anybody has; nil for nobody.
func (t *tally) by(points []name.Point) *plan.InUse {
	var one plan.InUse
	for _, p := range points {
		if h, held := t.scope.HolderOf(p); held {
			one.Session, one.Rooms = h.Session, h.Rooms
			break
		}
		if r := t.scope.RoomOutside(p); r != "" {
			one.Rooms = []string{r}
		}
	}
	if one.Rooms == nil {
		return nil
	}
	same := func(u plan.InUse) bool { return u.Session == one.Session && slices.Equal(u.Rooms, one.Rooms) }
	if !slices.ContainsFunc(t.all, same) {
		t.all = append(t.all, one)
	}
	return &t.all[slices.IndexFunc(t.all, same)]
}

func (t *tally) place(p name.Point) {
	if u := t.by([]name.Point{p}); u != nil && !slices.Contains(u.Places, p) {
		u.Places = append(u.Places, p)
	}
}

// count adds cords and dummies, and is who has what: sessions first, in the order of the
// scope's holders.
func (t *tally) count(cords []patch.Cord, dummies []name.Point) []plan.InUse {
	for _, c := range cords {
		if u := t.by(c.Ends()); u != nil {
			u.Cords++
		}
	}
	for _, j := range dummies {
		if u := t.by([]name.Point{j}); u != nil {
			u.Dummies++
		}
	}
	slices.SortStableFunc(t.all, func(a, b plan.InUse) int { return cmp.Compare(t.scope.Rank(a.Session), t.scope.Rank(b.Session)) })
	return t.all
}

// inUse says in words who uses what.
func inUse(all []plan.InUse) string {
	var texts []string
	for _, u := range all {
		var what []string
		for _, p := range u.Places {
			what = append(what, p.String())
		}
		if len(what) > 0 {
			what = []string{some(what)}
		}
		if u.Cords > 0 {
			what = append(what, phrase.Count(u.Cords, "1 cord", "{n} cords"))
		}
		if u.Dummies > 0 {
			what = append(what, phrase.Count(u.Dummies, "1 dummy", "{n} dummies"))
		}
		one, many := "{what} is in use by {session}", "{what} are in use by {session}"
		if u.Session == "" {
			one, many = "{what} is in use in {room}, which holds no session", "{what} are in use in {room}, which holds no session"
		}
		texts = append(texts, phrase.Count(len(u.Places)+u.Cords+u.Dummies, one, many,
			"what", strings.Join(what, " and "), "session", holder(u.Session, u.Rooms), "room", strings.Join(u.Rooms, " and ")))
	}
	return strings.Join(texts, "; ")
}
