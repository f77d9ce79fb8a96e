//go:build !race

// The race detector makes these plans fifteen times as long, and finds nothing in a search
// that starts no goroutine.

package planner_test

import (
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/planner/certificate"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/simulators/rooms/tight"
)

// tightRoom is a room in which something is scarce, read.
type tightRoom struct {
	shape   string
	studio  *studio.Studio
	session *session.Session
	present patch.Patch
}

func drawTight(t testing.TB, seed uint64) tightRoom {
	t.Helper()
	r := tight.Draw(seed)
	s, _, problems := text.ReadStudio("studio.yaml", r.Studio)
	if problems.Errors() {
		t.Fatalf("%v\n%s", problems, r.Studio)
	}
	asked, _, problems := text.ReadSession("session.yaml", r.Session, s, nil)
	present, _, more := text.ReadPatch("present.yaml", r.Present, s)
	if problems = append(problems, more...); problems.Errors() {
		t.Fatalf("%v\n%s", problems, r.Session)
	}
	return tightRoom{r.Shape, s, asked, present}
}

// Where something is scarce, each session is decided: planned, or refused with a proof
// that is checked by who knows no search. What was left out is no more than is needed:
// the rest is planned, and no part of it comes back. BAYHAND_ROOMS says in how many
// rooms.
func TestTightRooms(t *testing.T) {
	given, counted, tried := 0, 0, 0
	for seed := range tinyRooms(t, 36) {
		r := drawTight(t, seed)
		room := heard.NewRoom(r.studio)
		p, err := planner.Find(t.Context(), room, r.present, r.session, planner.Options{Prefer: plan.PreferFewest})
		switch {
		case err != nil:
			t.Fatalf("seed %d, %s: %v", seed, r.shape, err)
		case p.Given:
			given++
			if faults := room.CheckGiven(r.session, patch.Patch(p.Target), nil); len(faults) > 0 {
				t.Errorf("seed %d, %s: the plan does not give the session: %v", seed, r.shape, faults)
			}
			continue
		case len(p.Missing) == 0 || p.Stopped:
			t.Errorf("seed %d, %s: not decided: %+v", seed, r.shape, p)
			continue
		case p.Missing[0].Proof == plan.ByTrying:
			tried++
		default:
			counted++
		}
		rest := r.check(t, seed, room, p.Missing)
		if p, err = planner.Find(t.Context(), room, r.present, rest, planner.Options{Prefer: plan.PreferFewest}); err != nil || !p.Given {
			t.Errorf("seed %d, %s: without what is missing it is not given: %+v, %v", seed, r.shape, p, err)
		}
	}
	t.Logf("%d given, %d refused by counting, %d by trying", given, counted, tried)
	if all := given + counted + tried; given*4 < all || counted*6 < all || tried*10 > all {
		t.Errorf("%d given, %d refused by counting, %d by trying prove too little", given, counted, tried)
	}
}

// check holds the proof of each thing that is missing against the session without what is
// missing before it, and returns the session without any of it.
func (r tightRoom) check(t *testing.T, seed uint64, room *heard.Room, missing []plan.Missing) *session.Session {
	t.Helper()
	rest := r.session
	for _, m := range missing {
		switch m.Proof {
		case plan.ByTrying:
		case plan.ByCounting:
			if err := certificate.Check(room, r.present, rest, m.Shortage); err != nil {
				t.Errorf("seed %d, %s: the proof for %s does not hold: %v\n%+v", seed, r.shape, m.Want, err, m.Shortage)
			}
		default:
			t.Errorf("seed %d, %s: %s is missing without a proof", seed, r.shape, m.Want)
		}
		rest = sessionWithout(rest, m.Want)
	}
	return rest
}

// sessionWithout is a session without a want or silence.
func sessionWithout(s *session.Session, wish string) *session.Session {
	less := *s
	less.Wants = slices.DeleteFunc(slices.Clone(s.Wants), func(w session.Want) bool { return problem.WantText(w) == wish })
	less.Silent = slices.Clone(s.Silent)
	for i, p := range slices.Backward(less.Silent) {
		if problem.SilenceText(p) == wish {
			less.Silent = slices.Delete(less.Silent, i, i+1)
		}
	}
	return &less
}

// A proof that claims more than it may is refused.
func TestWrongProofs(t *testing.T) {
	wrong := map[string]func(*plan.Shortage){
		"a want fewer":        func(s *plan.Shortage) { s.Takes = s.Takes[1:] },
		"a want twice":        func(s *plan.Shortage) { s.Takes = append(s.Takes, s.Takes[0]) },
		"a want that is none": func(s *plan.Shortage) { s.Takes[0].At = []name.Point{s.Takes[0].Source} },
		"more than it takes":  func(s *plan.Shortage) { s.Takes[0].Least++ },
		"fewer than there are": func(s *plan.Shortage) {
			for i := range s.Of {
				s.Of[i].Count--
			}
		},
		"no way":           func(s *plan.Shortage) { s.Takes[0].NoWay = true },
		"a price twice":    func(s *plan.Shortage) { s.Of = append(s.Of, s.Of[0]) },
		"a negative price": func(s *plan.Shortage) { s.Of[0].Price = -1 },
		"other things": func(s *plan.Shortage) {
			s.Of[0] = plan.Scarce{What: plan.ScarceJack, At: s.Takes[0].Source, Count: 1, Price: 1}
		},
	}
	tested := map[string]int{}
	for seed := range uint64(24) {
		r := drawTight(t, seed)
		room := heard.NewRoom(r.studio)
		p, err := planner.Find(t.Context(), room, r.present, r.session, planner.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatal(err)
		}
		if p.Given || p.Missing[0].Proof != plan.ByCounting || len(p.Missing[0].Shortage.Of) == 0 {
			continue
		}
		for what, spoil := range wrong {
			s := *p.Missing[0].Shortage
			s.Takes, s.Of = slices.Clone(s.Takes), slices.Clone(s.Of)
			spoil(&s)
			tested[what]++
			if certificate.Check(room, r.present, r.session, &s) == nil {
				t.Errorf("seed %d, %s: %s is taken for a proof: %+v", seed, r.shape, what, s)
			}
		}
	}
	for what := range wrong {
		if tested[what] < 3 {
			t.Errorf("%s: planted in %d proofs", what, tested[what])
		}
	}
}
