package page

import (
	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/words"
)

// arrives are what an experienced hand would say of the levels at a destination,
// a line for each source and each thing; none for any other point.
func (h follower) arrives(now present, at name.Point) []string {
	var lines []string
	for _, a := range level.New(now.room, now.patch, level.Options{Quick: true}).At(at) {
		for i, look := range words.Looks(a) {
			if i == 0 {
				look = h.page.words.Point(a.Source.Point) + " " + look
			}
			lines = append(lines, look)
		}
	}
	return lines
}

// gainPlan is that of a session: for each of its lines what a tone reads at the end,
// what clips first, and what to turn down.
type gainPlan struct {
	Lines   []gainLine
	Caution string
}

type gainLine struct {
	Label, Way string
	Says       []string
}

// gainPlan is nil for a session of which nothing is heard.
func (p *page) gainPlan(s *session.Session, in patch.Patch) *gainPlan {
	room := p.heard.For(s, in)
	w := words.In(room.Studio())
	plan := &gainPlan{Caution: words.LevelsCaution}
	for _, g := range words.GainPlan(level.New(room, in, level.Options{Quick: true}).Chains(s), room.Studio().Reference, w.Owner) {
		plan.Lines = append(plan.Lines, gainLine{g.Label, g.Way(w.Runs), g.Said})
	}
	if len(plan.Lines) == 0 {
		return nil
	}
	return plan
}
