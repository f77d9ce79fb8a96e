package planner_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/simulators/rooms/houses"
)

// networks are three stages with as many matrices in the middle as an entry has
// inputs, of amplifiers and of contacts: from 2 to 4 inputs an entry, and from 2 to
// 4 entries. BAYHAND_CLOS=8 goes up to 8.
func networks(t *testing.T) []houses.Clos {
	t.Helper()
	most := max(2, 4/planner.Share)
	if text := os.Getenv("BAYHAND_CLOS"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			t.Fatal(err)
		}
		most = n
	}
	var all []houses.Clos
	for n := 2; n <= most; n++ {
		for r := 2; r <= most; r++ {
			all = append(all, houses.Clos{N: n, M: n, R: r}, houses.Clos{N: n, M: n, R: r, Contacts: true})
		}
	}
	return all
}

// Any connections of one source with one destination each can be had through
// three stages with as many matrices in the middle as an entry has inputs, by
// rearranging what is there (Slepian 1952, Duguid 1959, in Beneš, Mathematical
// Theory of Connecting Networks, 1965; Paull 1962, Bell System Technical Journal
// 41; from memory): so the planner gives them by crosspoints alone, from nothing
// and from any other connections.
func TestThreeStagesCarryAnyPermutation(t *testing.T) {
	for _, c := range networks(t) {
		room := network(t, c)
		r := rand.New(rand.NewPCG(uint64(c.N), uint64(c.R)))
		for i := range 2 {
			asked := r.Perm(c.Width())
			for _, present := range []patch.Patch{{}, c.Route(r.Perm(c.Width()))} {
				given(t, fmt.Sprintf("%+v, permutation %d, %d crosspoints before", c, i, len(present.Crosspoints)), room, present, connections(c, asked))
			}
		}
	}
}

// What a patch of a network carries, with sources that fan out, is given by
// crosspoints alone, from nothing and from what another carried. Whether any
// fan-out can be is another question, and a hard one: here it is known to.
func TestThreeStagesCarryFanOut(t *testing.T) {
	fans := 0
	for _, c := range networks(t) {
		room := network(t, c)
		for seed := range uint64(2) {
			asked, answer := c.Spread(seed)
			_, other := c.Spread(seed + 100)
			s := connections(c, asked)
			if faults := room.CheckGiven(s, answer, nil); len(faults) > 0 {
				t.Fatalf("%+v: the answer does not give the session: %v", c, faults)
			}
			fans += len(s.Wants) - sources(s)
			for _, present := range []patch.Patch{{}, other} {
				given(t, fmt.Sprintf("%+v, fan-out %d, %d crosspoints before", c, seed, len(present.Crosspoints)), room, present, s)
			}
		}
	}
	if fans < 20/planner.Share {
		t.Errorf("only %d destinations share a source", fans)
	}
}

// With one matrix less in the middle than an entry has inputs no way is left for
// all of them at once, and there is no bay for a cord: a full permutation cannot be
// given, and the planner says so. What can be carried together is no more of each
// entry and each exit than there are in the middle, and any such is (König 1916,
// as above): each entry loses one, and no more need be lost.
func TestTooFewInTheMiddle(t *testing.T) {
	for _, net := range networks(t) {
		c := fewer{net}
		c.M--
		room := network(t, c.Clos)
		r := rand.New(rand.NewPCG(uint64(c.N), uint64(c.R)))
		s := connections(c.Clos, r.Perm(c.Width()))
		p, err := planner.Find(t.Context(), room, patch.Patch{}, s, planner.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatal(err)
		}
		if p.Given || p.Stopped || len(p.Missing) != c.R || !c.fits(s, p.Missing) {
			t.Errorf("%+v: given %v, stopped %v, missing %v", c, p.Given, p.Stopped, p.Missing)
		}
	}
}

// fewer is a network with too few matrices in the middle.
type fewer struct{ houses.Clos }

// fits says whether each entry and each exit has no more of a session's wants than
// there are matrices in the middle, but for those that are missing.
func (c fewer) fits(s *session.Session, missing []plan.Missing) bool {
	entries, exits := map[int]int{}, map[int]int{}
	for _, w := range s.Wants {
		if slices.ContainsFunc(missing, func(m plan.Missing) bool { return m.Key == w.Key }) {
			continue
		}
		entry, exit := (w.Source.Number-1)/c.N, (w.Destination.Number-1)/c.N
		entries[entry]++
		exits[exit]++
		if entries[entry] > c.M || exits[exit] > c.M {
			return false
		}
	}
	return true
}

func network(t *testing.T, c houses.Clos) *heard.Room {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", c.Studio())
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return heard.NewRoom(s)
}

// connections asks for a source at each destination that has one.
func connections(c houses.Clos, source []int) *session.Session {
	s := &session.Session{Name: "three stages", Program: -1}
	for d, from := range source {
		if from >= 0 {
			s.Wants = append(s.Wants, session.Want{Source: c.Source(from), Destination: c.Destination(d), Chain: d, Key: fmt.Sprintf("connect[%d]", d)})
		}
	}
	return s
}

func sources(s *session.Session) int {
	seen := map[string]bool{}
	for _, w := range s.Wants {
		seen[w.Source.String()] = true
	}
	return len(seen)
}

// given expects a plan without a plug.
func given(t *testing.T, label string, room *heard.Room, present patch.Patch, s *session.Session) {
	t.Helper()
	p, err := planner.Find(t.Context(), room, present, s, planner.Options{Prefer: plan.PreferFewest})
	if err != nil {
		t.Fatalf("%s: %v", label, err)
	}
	if !p.Given || p.Plugs != 0 || p.Least != 0 {
		t.Errorf("%s: given %v, stopped %v, %d plugs, at least %d", label, p.Given, p.Stopped, p.Plugs, p.Least)
		return
	}
	if faults := room.CheckGiven(s, patch.Patch(p.Target), nil); len(faults) > 0 {
		t.Errorf("%s: %v", label, faults)
	}
}
