//go:build !race

// The race detector makes these plans fifteen times as long, and finds nothing in a search
// that starts no goroutine.

package planner_test

import (
	"os"
	"reflect"
	"slices"
	"strconv"
	"testing"
	"time"

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
// the rest is planned, and no part of it comes back; with what is said to be enough it is
// planned, and not with one less. BAYHAND_ROOMS says in how many rooms, BAYHAND_SEED which is
// the first.
func TestTightRooms(t *testing.T) {
	given, counted, tried := 0, 0, 0
	var took [2][]time.Duration // of those that are given, and of those that are not
	for i := range tinyRooms(t, 54) {
		seed := firstSeed(t) + i
		r := drawTight(t, seed)
		began := time.Now()
		room := heard.NewRoom(r.studio)
		p, err := planner.Find(t.Context(), room, r.present, r.session, planner.Options{Prefer: plan.PreferFewest})
		switch {
		case err != nil:
			t.Fatalf("seed %d, %s: %v", seed, r.shape, err)
		case p.Given:
			took[0] = append(took[0], time.Since(began))
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
		took[1] = append(took[1], time.Since(began))
		rest := r.check(t, seed, room, p.Missing)
		r.tryEnough(t, seed, p.Missing)
		if p, err = planner.Find(t.Context(), room, r.present, rest, planner.Options{Prefer: plan.PreferFewest}); err != nil || !p.Given {
			t.Errorf("seed %d, %s: without what is missing it is not given: %+v, %v", seed, r.shape, p, err)
		}
	}
	t.Logf("%d given, %d refused by counting, %d by trying", given, counted, tried)
	for i, what := range []string{"given", "refused"} {
		slices.Sort(took[i])
		if n := len(took[i]); n > 0 {
			t.Logf("%s in %v, the slowest in %v", what, took[i][n/2].Round(time.Millisecond), took[i][n-1].Round(time.Millisecond))
		}
	}
	if all := given + counted + tried; given*4 < all || counted*6 < all || tried*10 > all {
		t.Errorf("%d given, %d refused by counting, %d by trying prove too little", given, counted, tried)
	}
}

// firstSeed is the seed of the first room: BAYHAND_SEED, or 0.
func firstSeed(t *testing.T) uint64 {
	t.Helper()
	text := os.Getenv("BAYHAND_SEED")
	if text == "" {
		return 0
	}
	seed, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		t.Fatalf("BAYHAND_SEED is %q; it is the seed of a room", text)
	}
	return seed
}

// check holds the proof of each thing that is missing against the session that it is about,
// and returns the session without any of it. All stands in the order of the session.
func (r tightRoom) check(t *testing.T, seed uint64, room *heard.Room, missing []plan.Missing) *session.Session {
	t.Helper()
	rest := r.session
	last := -1
	for _, m := range missing {
		if at := r.place(m.Want); at <= last {
			t.Errorf("seed %d, %s: %s is out of order", seed, r.shape, m.Want)
		} else {
			last = at
		}
		switch m.Proof {
		case plan.ByTrying:
		case plan.ByCounting:
			for i, o := range m.Shortage.Of {
				metal := func(p plan.Scarce) bool { return p.At == o.At && p.What != plan.ScarceJack } // a jack is another thing
				if metal(o) && !o.At.IsZero() && slices.ContainsFunc(m.Shortage.Of[:i], metal) {
					t.Errorf("seed %d, %s: %s is counted twice in the proof for %s: %s", seed, r.shape, o.At, m.Want, m.Because)
				}
			}
			about := r.session
			for _, w := range m.Shortage.Without {
				about = sessionWithout(about, w)
			}
			if err := certificate.Check(room, r.present, about, m.Shortage); err != nil {
				t.Errorf("seed %d, %s: the proof for %s does not hold: %v\n%+v", seed, r.shape, m.Want, err, m.Shortage)
			}
		default:
			t.Errorf("seed %d, %s: %s is missing without a proof", seed, r.shape, m.Want)
		}
		rest = sessionWithout(rest, m.Want)
	}
	return rest
}

// place is where a want or silence stands in the session.
func (r tightRoom) place(wish string) int {
	for i, w := range r.session.Wants {
		if problem.WantText(w) == wish {
			return i
		}
	}
	return len(r.session.Wants) + slices.IndexFunc(r.session.Silent, func(p name.Point) bool { return problem.SilenceText(p) == wish })
}

// tryEnough adds what is said to be enough to the room: then all that is missing for want of
// the same is planned, and not with one less. What else is missing is left out.
func (r tightRoom) tryEnough(t *testing.T, seed uint64, missing []plan.Missing) {
	t.Helper()
	for i, m := range missing {
		if slices.ContainsFunc(missing[:i], func(o plan.Missing) bool { return reflect.DeepEqual(o.Enough, m.Enough) }) {
			continue
		}
		asked := r.session
		for _, o := range missing {
			if !reflect.DeepEqual(o.Enough, m.Enough) {
				asked = sessionWithout(asked, o.Want)
			}
		}
		for _, a := range m.Enough {
			together := append([]plan.Addition{a}, a.And...)
			for k := range together {
				less := slices.Clone(together)
				if less[k].Count--; r.givenWith(t, asked, less) {
					t.Errorf("seed %d, %s: %s has a plan with %+v", seed, r.shape, m.Want, less)
				}
			}
			if !r.givenWith(t, asked, together) {
				t.Errorf("seed %d, %s: %s has no plan with %+v", seed, r.shape, m.Want, a)
			}
		}
	}
}

// givenWith says whether a session has a plan with some additions.
func (r tightRoom) givenWith(t *testing.T, asked *session.Session, add []plan.Addition) bool {
	t.Helper()
	s := *r.studio
	for _, one := range add {
		addTo(&s, one)
	}
	room := heard.NewRoom(&s)
	p, err := planner.Find(t.Context(), room, r.present, asked, planner.Options{Prefer: plan.PreferFewest})
	return err == nil && p.Given && len(room.CheckGiven(asked, patch.Patch(p.Target), nil)) == 0
}

// addTo adds cords, dummies, or jacks of their own beside a bay, which are tied, multed or
// wired to a matrix.
func addTo(s *studio.Studio, a plan.Addition) {
	jacks := func(of string, pairs int) studio.Bay {
		bay := *s.BayNamed(of)
		bay.Name, bay.Modes = "More"+strconv.Itoa(len(s.Bays)), slices.Repeat([]studio.Mode{studio.Isolated}, pairs)
		s.Bays = append(slices.Clone(s.Bays), bay)
		return bay
	}
	s.Matrices = slices.Clone(s.Matrices)
	switch a.What {
	case plan.AddedCord:
		kind := studio.StockCord{Length: a.Cord.Length, Poles: a.Cord.Poles, Colour: a.Cord.Colour, Count: a.Count}
		plugs := map[string]studio.Jack{"bantam": studio.Bantam, "quarter-inch": studio.QuarterInch, "long-frame": studio.LongFrame}
		kind.Ends = [2]studio.Jack{plugs[a.Cord.Ends[0]], plugs[a.Cord.Ends[1]]}
		s.Stock.Cords = append(slices.Clone(s.Stock.Cords), kind)
	case plan.AddedDummy:
		s.Dummies += a.Count
	case plan.AddedTie, plan.AddedMult, plan.AddedOutput, plan.AddedInput:
		for range a.Count {
			bay := jacks(a.Of[len(a.Of)-1], 2)
			switch m := s.MatrixNamed(a.Of[0]); a.What {
			case plan.AddedTie:
				s.Ties = append(slices.Clone(s.Ties), studio.Tie{A: jacks(a.Of[0], 1).TopJack(1), B: bay.TopJack(1)})
			case plan.AddedOutput:
				m.Outputs++
				s.Wires = append(slices.Clone(s.Wires), studio.Wire{From: m.Out(m.Outputs), To: bay.TopJack(1)})
			case plan.AddedInput:
				m.Inputs++
				s.Wires = append(slices.Clone(s.Wires), studio.Wire{From: bay.TopJack(1), To: m.In(m.Inputs)})
			default:
				s.Mults = append(slices.Clone(s.Mults), studio.Mult{Jacks: []name.Point{bay.TopJack(1), bay.BottomJack(1), bay.TopJack(2), bay.BottomJack(2)}})
			}
		}
	}
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
