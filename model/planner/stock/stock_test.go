package stock_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/planner/stock"
	"bayhand/model/text"
)

func read(t *testing.T, file string) *graph.Graph {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(file))
	if problems.Errors() {
		t.Fatal(problems)
	}
	return heard.NewRoom(s).Graph()
}

func of(t *testing.T, g *graph.Graph, in patch.Patch, kept ...patch.Patch) stock.Stock {
	t.Helper()
	d, err := g.Numbered(in)
	if err != nil {
		t.Fatal(err)
	}
	return stock.New(g, in, d, kept...)
}

const row = `studio: a row
bays: {main: {pairs: 24, jack: bantam, modes: {1-24: isolated}}}
cords: {stock: [{length: 30 cm, count: 2}, {length: 60 cm, count: 1}]}
`

// A shortage is there exactly where no way to give each cord one that is owned is found
// by trying all of them, and it names kinds that no more cords can come from.
func TestShortage(t *testing.T) {
	g := read(t, row)
	s := of(t, g, patch.Patch{})
	r := rand.New(rand.NewPCG(1, 2))
	short := 0
	for range 400 {
		var cords [][2]int
		for range 1 + r.IntN(4) {
			cords = append(cords, graph.Ordered([2]int{r.IntN(12), 12 + r.IntN(12)}))
		}
		kinds := s.Shortage(cords)
		if suffices(&s, cords, append([]int{}, s.Counts...)) != (kinds == nil) {
			t.Fatalf("%v: shortage %v", cords, kinds)
		}
		if kinds != nil {
			short++
			owned, need := 0, 0
			for k, in := range kinds {
				if in {
					owned += s.Counts[k]
				}
			}
			for _, c := range cords {
				if only(&s, c, kinds) {
					need++
				}
			}
			if need <= owned {
				t.Errorf("%v: %d cords depend on kinds of which %d are owned", cords, need, owned)
			}
		}
	}
	if short < 40 || short > 360 {
		t.Errorf("%d of 400 were short", short)
	}
}

// suffices tries all kinds for each cord in turn.
func suffices(s *stock.Stock, cords [][2]int, left []int) bool {
	if len(cords) == 0 {
		return true
	}
	for k := range left {
		if left[k] > 0 && s.Goes(k, cords[0]) {
			left[k]--
			if suffices(s, cords[1:], left) {
				return true
			}
			left[k]++
		}
	}
	return false
}

// only says whether a cord can be of no kind but some.
func only(s *stock.Stock, c [2]int, kinds []bool) bool {
	for k, in := range kinds {
		if !in && s.Counts[k] > 0 && s.Goes(k, c) {
			return false
		}
	}
	return true
}

// What is plugged is owned, even where the file forgot it: it is one more of a kind that
// it could be, and each cord is of a kind that goes where it is.
func TestWhatIsInIsOwned(t *testing.T) {
	g := read(t, row)
	in, _, problems := text.ReadPatch("in.yaml", []byte("patch: {cords: [main/t1 - main/b2, main/t3 - main/b3, main/t4 - main/b4, main/t5 - main/b5]}\n"), g.Studio)
	if problems.Errors() {
		t.Fatal(problems)
	}
	s := of(t, g, in)
	owned := 0
	for _, n := range s.Counts {
		owned += n
	}
	if owned != 4 || len(s.Old) != 4 {
		t.Errorf("%d cords are owned, and %d are in; 3 are in the file", owned, len(s.Old))
	}
	used := make([]int, len(s.Counts))
	for i, c := range in.Cords {
		used[s.Old[i]]++
		if !s.Goes(s.Old[i], g.Ends(c)) {
			t.Errorf("the cord %s - %s is of a kind that does not go there", c.A, c.B)
		}
	}
	for k, n := range used {
		if n > s.Counts[k] {
			t.Errorf("%d cords are of a kind of which %d are owned", n, s.Counts[k])
		}
	}
}

// No cord goes past ties from one bay without a place to another, but where one does.
func TestGoByTies(t *testing.T) {
	const two = `studio: two bays
bays:
  live: {pairs: 2, modes: isolated%s}
  control: {pairs: 2, modes: isolated}
ties: [live/b1 = control/t1]
cords: {stock: [{length: 90 cm, count: 2}]}
`
	across := func(g *graph.Graph) (int, int) {
		d, err := g.Numbered(cord(t, g, "live/t2 - control/b2"))
		if err != nil {
			t.Fatal(err)
		}
		return d.Cords[0][0], d.Cords[0][1]
	}
	for place, want := range map[string]bool{"": true, ", at: {x: 0 cm, y: 10 cm}": false} {
		g := read(t, fmt.Sprintf(two, place))
		s := of(t, g, patch.Patch{})
		i, j := across(g)
		if !s.Any(i, j) {
			t.Fatal("the cord does not reach at all")
		}
		if apart := s.GoByTies(); apart != want || s.Any(i, j) == want || s.Goes(0, graph.Ordered([2]int{i, j})) == want {
			t.Errorf("place %q: apart %v, a cord goes %v", place, apart, s.Any(i, j))
		}
		s = of(t, g, patch.Patch{}, cord(t, g, "live/t1 - control/b1"))
		if s.GoByTies() || !s.Any(i, j) {
			t.Errorf("place %q: a cord is there, and others are held to the ties", place)
		}
	}
}

func cord(t *testing.T, g *graph.Graph, ends string) patch.Patch {
	t.Helper()
	return contents(t, g, "cords: ["+ends+"]")
}

func contents(t *testing.T, g *graph.Graph, are string) patch.Patch {
	t.Helper()
	p, _, problems := text.ReadPatch("p.yaml", []byte("patch: {"+are+"}\n"), g.Studio)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return p
}
