//go:build unix && !race

package planner_test

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/planner/certificate"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/simulators/rooms/houses"
)

// crowded is a house with no cord more than its answer takes, and by the seed one of the
// shortest fewer, a dummy fewer, or three wants more.
func crowded(size houses.Size, seed uint64) tightRoom {
	h := houses.Draw(size, seed)
	s, asked, present, answer := h.Read()
	cords := make([]studio.StockCord, len(s.Stock.Cords))
	for i, kind := range s.Stock.Cords {
		kind.Count = 0
		for _, c := range answer.Cords {
			if c.Length == kind.Length {
				kind.Count++
			}
		}
		cords[i] = kind
	}
	s.Stock.Cords = cords
	switch seed % 3 {
	case 0:
		asked = wantMore(s, asked)
	case 1:
		cords[0].Count = max(0, cords[0].Count-1)
	case 2:
		s.Dummies = max(0, len(answer.Dummies)-1)
	}
	return tightRoom{"house", s, asked, present}
}

// wantMore asks for the first sources of a session at inputs that it does not name.
func wantMore(s *studio.Studio, asked *session.Session) *session.Session {
	more := *asked
	more.Wants = append([]session.Want{}, asked.Wants...)
	named := map[string]bool{}
	for _, w := range asked.Wants {
		named[w.Destination.String()] = true
	}
	for _, p := range asked.Silent {
		named[p.String()] = true
	}
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if at := len(more.Wants) - len(asked.Wants); p.Direction == studio.Input && !named[p.Point.String()] && at < 3 {
				more.Wants = append(more.Wants, session.Want{Source: asked.Wants[at].Source, Destination: p.Point, Chain: 9000 + at})
			}
		}
	}
	return &more
}

// In houses without anything to spare a session is planned, or refused with a proof that
// holds. BAYHAND_NUMBERS says in how many houses of which sizes, as of TestNumbers.
func TestCrowdedHouses(t *testing.T) {
	for _, of := range asked(t, "home:4") {
		for seed := range of.count {
			r := crowded(of.size, seed+1)
			room := heard.NewRoom(r.studio)
			began := processor()
			p, err := planner.Find(t.Context(), room, r.present, r.session, planner.Options{Prefer: plan.PreferFewest})
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%s %d: given %v, stopped %v, %d ms", of.title, seed+1, p.Given, p.Stopped, (processor() - began).Milliseconds())
			for _, m := range p.Missing {
				t.Logf("   %s (%s): %s", m.Want, m.Proof, m.Because)
			}
			switch {
			case p.Given:
				if faults := room.CheckGiven(r.session, patch.Patch(p.Target), nil); len(faults) > 0 {
					t.Errorf("%s %d: the plan does not give the session: %v", of.title, seed+1, faults)
				}
			case len(p.Missing) == 0:
				t.Errorf("%s %d: not decided", of.title, seed+1)
			case p.Missing[0].Proof == plan.ByCounting:
				if err := certificate.Check(room, r.present, r.session, p.Missing[0].Shortage); err != nil {
					t.Errorf("%s %d: %v", of.title, seed+1, err)
				}
			}
		}
	}
}
