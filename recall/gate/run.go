package gate

import (
	"context"
	"errors"
	"slices"
	"sync"
	"time"

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
	var asking sync.WaitGroup
	defer asking.Wait()
	asking.Go(func() { g.ask(ctx) })
	var told keep.Status
	var shown string
	retell := time.NewTicker(g.config.Retell)
	defer retell.Stop()
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
		case <-g.again:
		case <-retell.C:
		}
		if told.Seq > 0 {
			g.reconcile(ctx)
			g.announce(ctx, told)
		}
		if now := g.neighbours.shown(); now != shown {
			shown = now
			g.config.Told()
		}
	}
}

// saw takes the newest view.
func (g *Gate) saw(v border.View) {
	g.mu.Lock()
	newer := v.Table.Revision >= g.view.Table.Revision
	if newer {
		g.view = v.Clone()
		g.neighbours.heed(v)
	}
	changed := newer && g.versions.saw(v.Table)
	g.mu.Unlock()
	if changed {
		g.config.Changed()
	}
}

// reconcile brings the table, and what is shut, to what the rooms need. The order of looks
// matters: what is idle is judged by a table that was known before it was asked what is
// expected and what is planned, so that no line is given back between its claim and the
// plan that it was claimed for.
func (g *Gate) reconcile(ctx context.Context) {
	g.turn.Lock()
	defer g.turn.Unlock()
	s, digest, err := g.config.Studio()
	if err != nil {
		return
	}
	lines := shared.Of(s)
	view := g.View()
	expected := g.underway.expected()
	status, err := g.keeper.Status(ctx)
	if err != nil {
		return
	}
	need := used(lines, status)
	g.takings.heed(view.Table, need)
	if view.Cut == nil {
		g.enter(ctx, digest)
		g.claimPlugged(ctx, status, digest, view, need)
		g.renew(ctx, lines, status, digest)
	}
	g.note(need, digest, g.neighbours.awaited(s, status))
	if g.open(ctx, lines, need) == nil && view.Cut == nil && g.View().Cut == nil {
		g.release(ctx, lines, digest, g.idle(view, slices.Concat(need, expected)))
	}
}

// claimPlugged claims what is plugged and nobody holds.
func (g *Gate) claimPlugged(ctx context.Context, status keep.Status, digest string, view border.View, need []string) {
	lacking := g.free(view, need)
	if len(lacking) == 0 {
		return
	}
	act := keep.Act{Session: status.Session, By: "what is plugged"}
	if after, err := g.claim(ctx, act, g.first(), digest, view, lacking); err == nil {
		g.saw(after)
	}
}

// renew has the table name the session for which a room's plan goes through a line that it
// holds: after a recall, or an undo, which went on with lines of an earlier one.
func (g *Gate) renew(ctx context.Context, lines shared.Lines, status keep.Status, digest string) {
	view := g.View()
	planned := lines.Taken(toPatch(status.Plan))
	for _, room := range g.host.Rooms {
		session := sessionIn(status, room)
		if session == "" || session == keep.RestName {
			continue
		}
		var older []border.Place
		for _, line := range planned {
			if h, held := view.Table.Holds[border.Place(line)]; held && h.Room == room && h.Session != session {
				older = append(older, border.Place(line))
			}
		}
		if len(older) == 0 {
			continue
		}
		if after, err := g.claim(ctx, keep.Act{Session: session}, room, digest, view, older); err == nil {
			g.saw(after)
			view = after
		}
	}
}

// sessionIn is what a room is in.
func sessionIn(s keep.Status, room string) string {
	for _, r := range s.Rooms {
		if r.Room == room {
			return r.Session
		}
	}
	return s.Session
}

// phaseIn is how far a room is. One of several that is in no session, and has no step left,
// is idle, whatever the others are.
func phaseIn(s keep.Status, room string) keep.Phase {
	for _, r := range s.Rooms {
		switch {
		case r.Room != room:
		case len(s.Rooms) > 1 && r.Session == "" && (r.Phase == "" || r.Phase == keep.Given):
			return keep.Idle
		case r.Phase != "":
			return r.Phase
		}
	}
	return s.Phase
}

// free are those of some lines that nobody holds, or that are on their way back, and that no
// person took away from these rooms.
func (g *Gate) free(view border.View, lines []string) []border.Place {
	var all []border.Place
	for _, line := range lines {
		h, held := view.Table.Holds[border.Place(line)]
		back := held && g.own(h.Room) && g.underway.isReturning(border.Place(line))
		if _, taken := g.takings.away(view.Table, line); (!held || back) && !taken {
			all = append(all, border.Place(line))
		}
	}
	return all
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
// meantime, it stays. With other files than the house's nothing is given back: a line may
// have another name there, or its room another host.
func (g *Gate) release(ctx context.Context, lines shared.Lines, digest string, idle map[string][]border.Place) {
	status, err := g.keeper.Status(ctx)
	if err != nil || len(idle) == 0 || g.versions.twice() {
		return
	}
	files, house := g.versions.digests(digest)
	need := used(lines, status)
	for room, places := range idle {
		places, fresh := g.underway.sendBack(slices.DeleteFunc(places, func(p border.Place) bool { return slices.Contains(need, string(p)) }))
		if len(places) == 0 {
			continue
		}
		if g.config.Memo.write(g.View().Table) != nil {
			g.underway.keep(fresh)
			continue
		}
		view, err := g.config.Border.Act(ctx, border.Act{Do: border.ToRelease, Room: room, Number: g.View().Table.Rooms[room].Number + 1,
			Places: places, Files: files, House: house, Host: g.host.Name, At: g.config.Now()})
		switch {
		case err == nil:
			g.saw(view)
		case errors.Is(err, border.ErrLate), errors.Is(err, border.ErrFiles):
			g.underway.keep(fresh) // it did not take them, where else it may have
		}
	}
}
