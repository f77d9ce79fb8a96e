package planner

import (
	"slices"
	"strings"

	"bayhand/model/layout"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// What would be possible but for other rooms has its cause there: jacks that are not free,
// or a wall that no cord goes through.

// barrier says what of other rooms stands in the way of a plan.
type barrier struct{ made *making }

// words say what stands in the way of some wants; nothing where no other room does.
func (b barrier) words(asked *session.Session) string {
	if said := b.notFree(asked); said != "" {
		return said
	}
	return b.walled(asked)
}

// notFree names the jacks by which a line could go if other rooms did not have them.
func (b barrier) notFree(asked *session.Session) string {
	held := b.made.problem.Options.Held
	if len(held) == 0 {
		return ""
	}
	p := remedies(b).planWith(asked, b.made.problem.Options.Free)
	if p == nil {
		return ""
	}
	jacks := slices.DeleteFunc(p.Plugs(), func(j name.Point) bool { return !slices.Contains(held, j) })
	if len(jacks) == 0 {
		return "a path there is not free"
	}
	return phrase.Put("a path there is not free: {jacks}", "jacks", strings.Join(topFirst(jacks), ", "))
}

// walled names the rooms between which a cord would have to go, and stands a wall.
func (b barrier) walled(asked *session.Session) string {
	rooms := b.made.problem.Studio.Rooms
	if len(rooms) < 2 {
		return ""
	}
	p := remedies(b).planWith(asked, func(s *studio.Studio) {
		all := []string{}
		for _, r := range rooms {
			all = append(all, r.Name)
		}
		s.Together = [][]string{all}
	})
	if p == nil {
		return ""
	}
	walls := layout.NewWalls(b.made.problem.Studio)
	for _, c := range p.Cords {
		if c.B.IsZero() || walls.Place(c.A.Owner) == walls.Place(c.B.Owner) {
			continue
		}
		return phrase.Put("a cord would have to go from {bay} to {other}, and the rooms {room} and {next} do not stand together (together:)",
			"bay", owner(b.made.problem, c.A.Owner), "other", owner(b.made.problem, c.B.Owner), "room", roomOf(rooms, c.A.Owner), "next", roomOf(rooms, c.B.Owner))
	}
	return ""
}

// roomOf is the name of the room that a part stands in.
func roomOf(rooms []studio.Room, part string) string {
	for _, r := range rooms {
		if slices.Contains(r.Parts, part) {
			return r.Name
		}
	}
	return ""
}
