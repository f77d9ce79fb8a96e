package route

import (
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
	"bayhand/simulators/rooms/houses"
)

// A search within budgets finds the way that one finds which leaves nothing out: for every
// want of a house, from the present patch and from what of it is worth anything.
func TestBudgetsLeaveTheCheapestWay(t *testing.T) {
	var ways, without, looks, plain int
	for seed := range uint64(12) {
		s, asked, present, _ := houses.Draw(houses.Home, 40+seed).Read()
		p, err := problem.New(heard.NewRoom(s).For(asked, present), present, asked, problem.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatal(err)
		}
		for _, clear := range []bool{false, true} {
			b := newBuilder(t.Context(), p)
			b.findIdle(clear)
			for _, w := range b.asWritten() {
				in, source := b.ends(w)
				for _, ousting := range []bool{false, true} {
					for barred, more := (map[graph.Part]bool{}), true; more && len(barred) < 40; {
						b.work = 0
						way := b.cheapest(source, b.Node[in], barred, ousting)
						looks, b.work = looks+b.work, 0
						all := everywhere(b, source, b.Node[in], barred, ousting)
						plain += b.work
						if (way == nil) != (all == nil) || !slices.Equal(way, all) {
							t.Fatalf("house %d, want %d, ousting %v, without %v: %v; with nothing left out %v", 40+seed, w, ousting, barred, way, all)
						}
						if ways++; way == nil {
							without++
						}
						more = bar(way, barred)
					}
				}
			}
		}
	}
	t.Logf("%d searches, %d find no way; %d looks, and %d with nothing left out", ways, without, looks, plain)
	if without < 20 || ways < 20*without/10 {
		t.Error("too few are of a kind")
	}
}

// everywhere is a search that knows nothing of what remains.
func everywhere(b *builder, source, to int, barred map[graph.Part]bool, ousting bool) []graph.Part {
	r := b.newRouter(source, to, barred, ousting)
	clear(r.least)
	r.elsewhere, r.fresh = -endless, 0
	for j := range r.loose {
		r.loose[j] = true
	}
	r.begin(b.Node[b.Sources[source]])
	return r.within(endless)
}
