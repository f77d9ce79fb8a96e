package gate

import (
	"context"
	"fmt"
	"slices"

	"bayhand/model/shared"
	"bayhand/recall/border"
	"bayhand/recall/keep"
)

// Run keeps the rooms in step with the table until the context ends: at each change of
// either it claims what is plugged and nobody holds, gives back what is not needed, and
// tells the other hosts how the rooms are.
func (g *Gate) Run(ctx context.Context) error {
	views := g.config.Border.Watch(ctx)
	events, err := g.keeper.Events(ctx)
	if err != nil {
		return nil // the keeper says itself why it ended
	}
	var told keep.Status
	for {
		select {
		case v, open := <-views:
			if !open {
				return nil
			}
			g.saw(v)
		case s, open := <-events:
			if !open {
				return nil
			}
			told = s
		}
		if told.Seq > 0 {
			g.settle(ctx)
			g.announce(ctx, told)
		}
	}
}

// saw takes the newest view.
func (g *Gate) saw(v border.View) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if v.Table.Revision >= g.view.Table.Revision {
		g.view = v.Clone()
	}
}

// settle brings the table, and what is shut, to what the rooms need.
func (g *Gate) settle(ctx context.Context) {
	g.turn.Lock()
	defer g.turn.Unlock()
	s, digest, err := g.config.Studio()
	if err != nil {
		return
	}
	lines := shared.Of(s)
	status, err := g.keeper.Status(ctx)
	if err != nil {
		return
	}
	view := g.View()
	need := used(lines, status)
	if lacking := g.free(view, need); view.Cut == nil && len(lacking) > 0 {
		act := keep.Act{Session: status.Session, By: "what is plugged"}
		if after, err := g.claim(ctx, act, g.first(), digest, view, lacking); err == nil {
			g.saw(after)
		}
	}
	view = g.View()
	idle := g.idle(view, need)
	var keeps []border.Place
	for _, p := range need {
		if g.held(view)(p) {
			keeps = append(keeps, border.Place(p))
		}
	}
	g.note(need)
	if g.shut(ctx, lines, only(view, g, keeps)) == nil && len(idle) > 0 && g.View().Cut == nil {
		g.release(ctx, lines, idle)
	}
}

// only is a view in which the host's rooms hold no more than some lines.
func only(view border.View, g *Gate, keeps []border.Place) border.View {
	view = view.Clone()
	for p, h := range view.Table.Holds {
		if g.own(h.Room) && !slices.Contains(keeps, p) {
			delete(view.Table.Holds, p)
		}
	}
	return view
}

// free are those of some lines that nobody holds, and that no person took away from
// these rooms.
func (g *Gate) free(view border.View, lines []string) []border.Place {
	var all []border.Place
	for _, line := range lines {
		_, held := view.Table.Holds[border.Place(line)]
		if _, taken := g.takenAway(view, line); !held && !taken {
			all = append(all, border.Place(line))
		}
	}
	return all
}

// takenAway is how a line was taken away last from these rooms, if it was.
func (g *Gate) takenAway(view border.View, line string) (border.Taking, bool) {
	for _, t := range slices.Backward(view.Table.Takings) {
		if string(t.Place) == line && g.own(t.From.Room) {
			return t, true
		}
	}
	return border.Taking{}, false
}

// idle are the lines that the host's rooms hold and do not need, by room.
func (g *Gate) idle(view border.View, need []string) map[string][]border.Place {
	all := map[string][]border.Place{}
	for p, h := range view.Table.Holds {
		if g.own(h.Room) && !slices.Contains(need, string(p)) {
			all[h.Room] = append(all[h.Room], p)
		}
	}
	return all
}

// release gives lines back, once they are shut: if a plan or a person took one in the
// meantime, it stays.
func (g *Gate) release(ctx context.Context, lines shared.Lines, idle map[string][]border.Place) {
	status, err := g.keeper.Status(ctx)
	if err != nil {
		return
	}
	need := used(lines, status)
	for room, places := range idle {
		places = slices.DeleteFunc(places, func(p border.Place) bool { return slices.Contains(need, string(p)) })
		if len(places) == 0 {
			continue
		}
		view, err := g.config.Border.Act(ctx, border.Act{Do: border.ToRelease, Room: room, Number: g.View().Table.Rooms[room].Number + 1,
			Places: places, Host: g.host.Name, At: g.config.Now()})
		if err == nil {
			g.saw(view)
		}
	}
}

// announce tells the other hosts how the rooms are.
func (g *Gate) announce(ctx context.Context, s keep.Status) {
	if g.View().Cut != nil {
		return
	}
	for _, room := range g.host.Rooms {
		a := border.Announcement{Room: room, Host: g.host.Name, Page: g.host.Page, Session: s.Session, Phase: string(s.Phase), At: g.config.Now()}
		for _, r := range s.Rooms {
			if r.Room == room {
				a.Session = r.Session
			}
		}
		if g.told(a) {
			continue
		}
		_ = g.config.Border.Announce(ctx, a) // told again at the next change
	}
}

// told says whether the others know of a room what is to be announced.
func (g *Gate) told(a border.Announcement) bool {
	return slices.ContainsFunc(g.View().Announced, func(was border.Announcement) bool {
		was.At = a.At
		return was == a
	})
}

// note says what a person should know of the table.
func (g *Gate) note(need []string) {
	view := g.View()
	var notes []keep.Problem
	held := 0
	for _, place := range need {
		switch h, is := view.Table.Holds[border.Place(place)]; {
		case is && !g.own(h.Room):
			notes = append(notes, keep.Problem{Code: "held-elsewhere", Severity: "error", Since: h.Since,
				Message: fmt.Sprintf("%s is plugged here, and room %s holds it for %s. Agree who goes on with it, and pull the other's cord", place, h.Room, h.Session)})
		case is:
			held++
		default:
			if t, taken := g.takenAway(view, place); taken {
				notes = append(notes, keep.Problem{Code: "taken-away", Severity: "error", Since: t.At,
					Message: fmt.Sprintf("%s was taken away from room %s by %s. Pull the cord there, or recall the session again to claim it", place, t.From.Room, t.By)})
			}
		}
	}
	if view.Cut != nil {
		notes = append(notes, keep.Problem{Code: "house-cut", Severity: "warning", Since: view.Cut.Since,
			Message: fmt.Sprintf("%s the house, which is not reached since %s; kept as they are (%s)", throughLines(held), view.Cut.Since.Local().Format("15:04"), view.Cut.Why)})
	}
	for _, w := range view.Warnings {
		notes = append(notes, keep.Problem{Code: "house-servers", Severity: "warning", Since: view.Seen, Message: w})
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	g.notes = notes
}

func throughLines(n int) string {
	if n == 1 {
		return "1 line goes through"
	}
	return fmt.Sprintf("%d lines go through", n)
}
