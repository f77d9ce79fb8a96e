package exact

import (
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/planner/problem"
	"bayhand/simulators/rooms/houses"
)

// A window of a repair holds mults that nothing uses, whole, so that a split can go there;
// other windows are as they were.
func TestWindowHasIdleMults(t *testing.T) {
	s, asked, present, _ := houses.Draw(houses.Project, 1).Read()
	p, err := problem.New(heard.NewRoom(s).For(asked, present), present, asked, problem.Options{})
	if err != nil {
		t.Fatal(err)
	}
	at := p.Node[p.Number[asked.Wants[0].Destination]]
	whole := func(w *window) (count int) {
		for _, n := range p.Nodes {
			used := func(j int) bool { return !w.frees(j) && p.Usable(j) || w.at[j].Kind != 0 }
			if len(n.Jacks) >= jacksOfMult && !slices.ContainsFunc(n.Jacks, used) {
				count++
			}
		}
		return count
	}
	const most = 4
	without := whole(aroundNodes(p, graph.Patch{}, []int{at}, most, 0))
	all := whole(aroundNodes(p, graph.Patch{}, []int{at}, most, len(p.Nodes)))
	if all < without+2 {
		t.Fatalf("the house has %d mults that nothing uses, too few for this test", all-without)
	}
	if got := whole(aroundNodes(p, graph.Patch{}, []int{at}, most, 2)); got != without+2 {
		t.Errorf("a window with 2 mults more than the %d that it has frees %d", without, got)
	}
}
