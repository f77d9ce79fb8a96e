package planner_test

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/simulators/rooms/houses"
)

// Where normals alone give a session, everything that is in is pulled: cords that each
// break a normal which another makes up for are needed by each other, and not by the
// session. That this is the only plan is known without a search.
func TestNothingNeedBePlugged(t *testing.T) {
	bare := 0
	for seed := range uint64(max(2, 12/planner.Share)) {
		s, _, _, in := houses.Draw(houses.Small, seed+1).Read()
		room := heard.NewRoom(s)
		asked := byNormals(s, room)
		if len(room.CheckGiven(asked, patch.Patch{}, nil)) > 0 {
			continue
		}
		bare++
		for _, prefer := range []plan.Prefer{plan.PreferSame, plan.PreferPlain, plan.PreferFewest} {
			searched := false
			p, err := planner.Find(t.Context(), room, in, asked, planner.Options{Prefer: prefer, Progress: func(int, int, int) { searched = true }})
			if err != nil {
				t.Fatal(err)
			}
			plugs := len(in.Leads) + len(in.Dummies)
			for _, c := range in.Cords {
				plugs += len(c.Ends())
			}
			if !p.Given || p.Plugs != plugs || p.Least != plugs || len(p.Target.Cords)+len(p.Target.Dummies)+len(p.Target.Leads)+len(p.Target.Crosspoints) > 0 || searched {
				t.Errorf("house %d, %s: %d plugs, at least %d, of %d that are in; left in %+v; searched %v", seed+1, prefer, p.Plugs, p.Least, plugs, p.Target, searched)
			}
		}
	}
	if bare == 0 {
		t.Error("no house gives by normals alone what it gives at rest")
	}
}

// byNormals asks for what twelve destinations hear with nothing plugged.
func byNormals(s *studio.Studio, room *heard.Room) *session.Session {
	asked, empty := &session.Session{Name: "normals"}, room.Hear(patch.Patch{})
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if sources := empty.Hears(p.Point); p.Direction == studio.Input && len(sources) == 1 && len(asked.Wants) < 12 {
				asked.Wants = append(asked.Wants, session.Want{Source: sources[0], Destination: p.Point, Chain: len(asked.Wants)})
			}
		}
	}
	return asked
}
