package planner_test

import (
	"cmp"
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/studio"
)

// What the planner proves is true: in studios so small that every patch can be
// tried, a session is given where any patch gives it, and no patch that gives it
// and holds nothing needless is reached with fewer plugs handled than is said.
func TestEveryPatchTried(t *testing.T) {
	given, refused, proved, plain := 0, 0, 0, 0
	for seed := range tinyRooms(t, 250) {
		tiny := drawTiny(seed)
		room := heard.NewRoom(tiny.studio)
		p, err := planner.Find(t.Context(), room, tiny.present, tiny.session, planner.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, tiny)
		}
		fewest, plainest, any := tiny.best(room)
		if wrong := tiny.wrong(room, p, fewest, any); wrong != "" {
			t.Errorf("seed %d: %s\n%s", seed, wrong, tiny)
		}
		switch {
		case !p.Given:
			refused++
		case p.Least == p.Plugs:
			proved++
			fallthrough
		default:
			given++
		}
		if plainest.plugs == tooMany {
			continue
		}
		plain++
		if p, err = planner.Find(t.Context(), room, tiny.present, tiny.session, planner.Options{Prefer: plan.PreferPlain}); err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, tiny)
		}
		if wrong := tiny.wrong(room, p, plainest, any); wrong != "" {
			t.Errorf("seed %d, plain: %s\n%s", seed, wrong, tiny)
		}
	}
	t.Logf("%d given, of which %d proved the best; %d cannot be; %d looked at for the plainest", given, proved, refused, plain)
	if given < 40/planner.Share || plain < 40/planner.Share || refused < 10/planner.Share || proved < given*9/10 {
		t.Errorf("%d given, of which %d proved the best, and %d that cannot be prove too little", given, proved, refused)
	}
}

func tinyRooms(t *testing.T, usual int) uint64 {
	t.Helper()
	text := os.Getenv("BAYHAND_ROOMS")
	if text == "" {
		return uint64(usual / planner.Share)
	}
	n, err := strconv.ParseUint(text, 10, 32)
	if err != nil {
		t.Fatalf("BAYHAND_ROOMS is %q; it is a number of rooms", text)
	}
	return n
}

// wrong says what a plan claims that trying every patch does not bear out.
func (tiny tiny) wrong(room *heard.Room, p *plan.Plan, best candidate, any bool) string {
	switch {
	case p.Given != any:
		return fmt.Sprintf("given: %v; there is a patch that gives it: %v\n%v\nmissing %v", p.Given, any, best, p.Missing)
	case !p.Given:
		return ""
	case p.Least > best.plugs:
		return fmt.Sprintf("at least %d plugs; %d suffice for\n%v", p.Least, best.plugs, best)
	case p.Plugs < best.plugs:
		return fmt.Sprintf("%d plugs suffice; at least %d are needed, for\n%v\nplanned %+v", p.Plugs, best.plugs, best, p.Target)
	}
	if faults := room.CheckGiven(tiny.session, patch.Patch(p.Target), nil); len(faults) > 0 {
		return fmt.Sprintf("the plan does not give the session: %v", faults)
	}
	return ""
}

// candidate is a patch, and how many plugs are handled on the way to it.
type candidate struct {
	patch.Patch
	plugs int
}

func (c candidate) String() string { return fmt.Sprintf("%d plugs: %+v", c.plugs, c.Patch) }

// tooMany stands for the plugs of a plainest patch that it would take too long to
// look for: where none is wholly plain, every patch must be looked at.
const tooMany = -1

// best are patches that give the session and hold nothing needless: one with the
// fewest plugs handled, and of the plainest one with the fewest; false if no patch
// gives it.
func (tiny tiny) best(room *heard.Room) (fewest, plainest candidate, any bool) {
	judge := room.Judge(tiny.session, nil)
	known := map[string]bool{}
	gives := func(p patch.Patch) bool {
		key := fmt.Sprint(p)
		is, ok := known[key]
		if !ok {
			is = len(judge.Faults(room.Hear(p))) == 0
			known[key] = is
		}
		return is
	}
	unplain := tiny.unplainness(room)
	least, looked := 1<<30, 0
	for _, c := range tiny.candidates() {
		for _, x := range crosspoints(tiny.studio) {
			c.Crosspoints = x
			if looked++; any && looked > 10000 {
				return fewest, candidate{plugs: tooMany}, true
			}
			if len(judge.Faults(room.Hear(c.Patch))) > 0 || slices.ContainsFunc(without(c.Patch), gives) || slices.ContainsFunc(cutThrough(c.Patch), gives) || slices.ContainsFunc(unplugged(c.Patch), gives) {
				continue
			}
			c := candidate{c.Clone(), c.plugs}
			if !any {
				fewest, any = c, true
			}
			if now := unplain(c.Patch); now < least {
				plainest, least = c, now
			}
			if least == 0 {
				return fewest, plainest, true
			}
		}
	}
	return fewest, plainest, any
}

// without are the patches that lack one thing.
func without(p patch.Patch) []patch.Patch {
	var all []patch.Patch
	for i := range p.Cords {
		less := p.Clone()
		less.Cords = slices.Delete(less.Cords, i, i+1)
		all = append(all, less)
	}
	for i := range p.Leads {
		less := p.Clone()
		less.Leads = slices.Delete(less.Leads, i, i+1)
		all = append(all, less)
	}
	for i := range p.Dummies {
		less := p.Clone()
		less.Dummies = slices.Delete(less.Dummies, i, i+1)
		all = append(all, less)
	}
	for i := range p.Crosspoints {
		less := p.Clone()
		less.Crosspoints = slices.Delete(less.Crosspoints, i, i+1)
		all = append(all, less)
	}
	return all
}

// unplugged are a patch that holds plugs without any of them, and with nothing switched
// either.
func unplugged(p patch.Patch) []patch.Patch {
	if len(p.Cords)+len(p.Leads)+len(p.Dummies) == 0 {
		return nil
	}
	return []patch.Patch{{Crosspoints: p.Crosspoints}, {}}
}

// cutThrough are the patches in which one cord or lead carries nothing, and all plugs
// are as they were.
func cutThrough(p patch.Patch) []patch.Patch {
	var all []patch.Patch
	for i, c := range p.Cords {
		if c.B.IsZero() {
			continue
		}
		cut := p.Clone()
		cut.Cords = slices.Delete(cut.Cords, i, i+1)
		cut.Dummies = append(cut.Dummies, c.A, c.B)
		all = append(all, cut)
	}
	for i, l := range p.Leads {
		cut := p.Clone()
		cut.Leads = slices.Delete(cut.Leads, i, i+1)
		cut.Dummies = append(cut.Dummies, l.Jack)
		all = append(all, cut)
	}
	return all
}

// crosspoints are all settings of the matrix, each output at one input or none.
func crosspoints(s *studio.Studio) [][]patch.Crosspoint {
	all := [][]patch.Crosspoint{nil}
	for _, m := range s.Matrices {
		for o := 1; o <= m.Outputs; o++ {
			for _, set := range slices.Clone(all) {
				for i := 1; i <= m.Inputs; i++ {
					all = append(all, append(slices.Clone(set), patch.Crosspoint{Output: m.Out(o), Input: m.In(i)}))
				}
			}
		}
	}
	return all
}

// candidates are all ways to put the cords and dummies owned into the jacks, in
// the order of the plugs handled.
func (tiny tiny) candidates() []candidate {
	var all []candidate
	var place func(jacks []name.Point, p patch.Patch)
	place = func(jacks []name.Point, p patch.Patch) {
		if len(jacks) == 0 {
			all = append(all, candidate{p.Clone(), handled(tiny.present, p)})
			return
		}
		first, rest := jacks[0], jacks[1:]
		place(rest, p)
		if len(p.Dummies) < tiny.studio.Dummies {
			more := p.Clone()
			more.Dummies = append(more.Dummies, first)
			place(rest, more)
		}
		if len(p.Cords) == tiny.studio.Stock.Cords[0].Count {
			return
		}
		corded := func(c patch.Cord) patch.Patch {
			more := p.Clone()
			more.Cords = append(more.Cords, c)
			return more
		}
		place(rest, corded(patch.Cord{A: first}))
		for i, other := range rest {
			place(slices.Delete(slices.Clone(rest), i, i+1), corded(patch.Cord{A: first, B: other}))
		}
	}
	jacks := tinyJacks(tiny.studio)
	place(jacks, patch.Patch{})
	for _, port := range unwired(tiny.studio) {
		for i, jack := range jacks {
			lead := []patch.Lead{{Port: port, Jack: jack}}
			place(slices.Delete(slices.Clone(jacks), i, i+1), patch.Patch{Leads: lead})
		}
	}
	slices.SortStableFunc(all, func(c, d candidate) int { return cmp.Compare(c.plugs, d.plugs) })
	return all
}

// handled is how many plugs leave or enter a jack between two patches, where
// each cord of the one may become any cord of the other.
func handled(from, to patch.Patch) int {
	plugs := 0
	for _, d := range from.Dummies {
		if !slices.Contains(to.Dummies, d) {
			plugs++
		}
	}
	for _, d := range to.Dummies {
		if !slices.Contains(from.Dummies, d) {
			plugs++
		}
	}
	for _, l := range from.Leads {
		if !slices.Contains(to.Leads, l) {
			plugs++
		}
	}
	for _, l := range to.Leads {
		if !slices.Contains(from.Leads, l) {
			plugs++
		}
	}
	return plugs + becoming(from.Cords, to.Cords)
}

// unwired are the ports that a lead can come from: one at most.
func unwired(s *studio.Studio) []name.Point {
	var ports []name.Point
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if !slices.ContainsFunc(s.Wires, func(w studio.Wire) bool { return w.From == p.Point || w.To == p.Point }) {
				ports = append(ports, p.Point)
			}
		}
	}
	return ports
}

func becoming(from, to []patch.Cord) int {
	if len(from) == 0 {
		return ends(to)
	}
	first, rest := from[0], from[1:]
	least := len(first.Ends()) + becoming(rest, to)
	for i, c := range to {
		left := slices.Delete(slices.Clone(to), i, i+1)
		least = min(least, differing(first, c)+becoming(rest, left))
	}
	return least
}

func ends(cords []patch.Cord) int {
	count := 0
	for _, c := range cords {
		count += len(c.Ends())
	}
	return count
}

func differing(c, d patch.Cord) int {
	count := len(c.Ends()) + len(d.Ends())
	for _, e := range c.Ends() {
		if slices.Contains(d.Ends(), e) {
			count -= 2
		}
	}
	return count
}
