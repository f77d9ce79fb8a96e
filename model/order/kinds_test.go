package order_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Cords are taken from what lies ready by their length, plugs and poles: a step waits for
// a cord of its own kind, however many of another kind lie there.
func TestStepsWaitForTheirKindOfCord(t *testing.T) {
	for _, c := range []struct {
		name, stock, in, rest string
		waits                 bool
	}{
		{"other plugs lie ready", "[{length: 60 cm, ends: [bantam, bantam], count: 2}, {length: 60 cm, ends: [bantam, quarter-inch], count: 1}]",
			"[{ends: [small/t1, large/t1], length: 60 cm}]", "[{ends: [small/t2, large/t2], length: 60 cm}]", true},
		{"one of the plugs lies ready", "[{length: 60 cm, ends: [bantam, quarter-inch], count: 2}]",
			"[{ends: [small/t1, large/t1], length: 60 cm}]", "[{ends: [small/t2, large/t2], length: 60 cm}]", false},
		{"two poles lie ready", "[{length: 60 cm, poles: 2, count: 2}, {length: 60 cm, poles: 3, count: 1}]",
			"[{ends: [small/t1, small/b1], length: 60 cm}]", "[{ends: [small/t2, small/b2], length: 60 cm}]", false},
		{"the cord of two poles is in", "[{length: 60 cm, poles: 3, count: 2}, {length: 60 cm, poles: 2, count: 1}]",
			"[{ends: [small/t1, small/b1], length: 60 cm, poles: 2}]", "[{ends: [small/t2, small/b2], length: 60 cm}]", false},
		{"any plugs lie ready", "[{length: 60 cm, count: 1}, {length: 60 cm, ends: [bantam, bantam], count: 1}]",
			"[{ends: [small/t1, small/b1], length: 60 cm}]", "[{ends: [small/t2, large/t2], length: 60 cm}]", true},
	} {
		s := twoKinds(t, c.stock, c.rest)
		p := toRest(t, s, patchOf(t, s, c.in))
		plug, pull := stepOf(t, p, plan.Plug), stepOf(t, p, plan.Pull)
		if got := slices.Contains(plug.After, pull.ID); got != c.waits {
			t.Errorf("%s: the plug waits for the pull: %v, want %v", c.name, got, c.waits)
		}
	}
}

func twoKinds(t *testing.T, stock, rest string) *studio.Studio {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: two kinds of jack
bays:
  small: {pairs: 8, jack: bantam, modes: {1-8: isolated}}
  large: {pairs: 8, jack: quarter-inch, modes: {1-8: isolated}}
cords: {stock: `+stock+`}
rest: {cords: `+rest+`}
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	return s
}

func patchOf(t *testing.T, s *studio.Studio, cords string) patch.Patch {
	t.Helper()
	p, _, problems := text.ReadPatch("in.yaml", []byte("patch: {cords: "+cords+"}\n"), s)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return p
}

func toRest(t *testing.T, s *studio.Studio, from patch.Patch) *plan.Plan {
	t.Helper()
	p, err := planner.Make(t.Context(), plan.Request{Studio: s, From: from})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func stepOf(t *testing.T, p *plan.Plan, do plan.Do) plan.Step {
	t.Helper()
	i := slices.IndexFunc(p.Steps, func(s plan.Step) bool { return s.Do == do })
	if i < 0 {
		t.Fatalf("no %s among %+v", do, p.Steps)
	}
	return p.Steps[i]
}

// held is a cord as a hand has it: its length, plugs and poles.
type held struct {
	length measure.Length
	plugs  string // one letter each, sorted
	poles  int
}

// Drawn stocks of lengths, plugs and poles: in whatever order that the waits allow, each
// step finds a cord lying there that is as long as it says, with the plugs and the poles.
func TestEachCordLiesThereInAnyOrder(t *testing.T) {
	waited, plugs := 0, 0
	for seed := range count(t, 200) {
		r := rand.New(rand.NewPCG(seed, 0x6b696e6473))
		owned, file := drawStock(r)
		in, rest := drawCords(r, owned), drawCords(r, owned)
		s := twoKinds(t, file, rest)
		from := patchOf(t, s, in)
		p := toRest(t, s, from)
		lying := map[held]int{}
		for _, h := range owned {
			lying[h]++
		}
		for _, c := range from.Cords {
			lying[handOf(c.Ends(), c.Length, c.Poles)]--
		}
		for range 4 {
			n, w := play(t, seed, r, p, lying)
			plugs, waited = plugs+n, waited+w
		}
	}
	if plugs == 0 || waited == 0 {
		t.Errorf("%d cords were plugged, %d of which waited for another: not a test", plugs, waited)
	}
}

// play does the steps of a plan in an order drawn among those allowed.
func play(t *testing.T, seed uint64, r *rand.Rand, p *plan.Plan, lying map[held]int) (plugs, waited int) {
	t.Helper()
	now, done := map[held]int{}, map[string]bool{}
	for h, n := range lying {
		now[h] = n
	}
	for len(done) < len(p.Steps) {
		var may []plan.Step
		for _, s := range p.Steps {
			if !done[s.ID] && !slices.ContainsFunc(s.After, func(id string) bool { return !done[id] }) {
				may = append(may, s)
			}
		}
		s := may[r.IntN(len(may))]
		done[s.ID] = true
		switch h := handOf(s.Ends, s.Length, s.Poles); s.Do {
		case plan.Pull:
			now[h]++
		case plan.Plug:
			if now[h]--; now[h] < 0 {
				t.Fatalf("seed %d: no cord %+v lies ready for %v", seed, h, s.Ends)
			}
			plugs, waited = plugs+1, waited+min(len(s.After), 1)
		default:
		}
	}
	return plugs, waited
}

func handOf(ends []name.Point, length measure.Length, poles int) held {
	h := held{length: length, poles: poles}
	for _, e := range ends {
		h.plugs += e.Owner[:1]
	}
	if h.plugs == "sl" {
		h.plugs = "ls"
	}
	return h
}

// drawStock is a few cords of two lengths, three pairs of plugs, and two or three poles.
func drawStock(r *rand.Rand) (all []held, file string) {
	words := map[string]string{"ss": "[bantam, bantam]", "ls": "[quarter-inch, bantam]", "ll": "[quarter-inch, quarter-inch]"}
	var kinds []string
	for range 1 + r.IntN(4) {
		h := held{length: measure.Length(60+30*r.IntN(2)) * measure.Centimetre, plugs: []string{"ss", "ls", "ll"}[r.IntN(3)], poles: 2 * r.IntN(2)}
		n := 1 + r.IntN(3)
		for range n {
			all = append(all, h)
		}
		kinds = append(kinds, fmt.Sprintf("{length: %s, ends: %s, poles: %d, count: %d}", h.length, words[h.plugs], 3-h.poles/2, n))
	}
	return all, "[" + strings.Join(kinds, ", ") + "]"
}

// drawCords are some of the cords, in jacks drawn for them.
func drawCords(r *rand.Rand, owned []held) string {
	free := map[string][]int{"s": r.Perm(16), "l": r.Perm(16)}
	jack := func(plug byte) string {
		bay := map[byte]string{'s': "small", 'l': "large"}[plug]
		at := free[string(plug)][0]
		free[string(plug)] = free[string(plug)][1:]
		return fmt.Sprintf("%s/%c%d", bay, "tb"[at%2], at/2+1)
	}
	var cords []string
	for _, i := range r.Perm(len(owned))[:r.IntN(min(len(owned), 6)+1)] {
		h := owned[i]
		poles := ""
		if h.poles == 2 {
			poles = ", poles: 2"
		}
		cords = append(cords, fmt.Sprintf("{ends: [%s, %s], length: %s%s}", jack(h.plugs[0]), jack(h.plugs[1]), h.length, poles))
	}
	return "[" + strings.Join(cords, ", ") + "]"
}
