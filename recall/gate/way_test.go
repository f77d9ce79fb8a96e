package gate

import (
	"fmt"
	"slices"
	"testing"
)

// rounds is how often the last of some rooms plans, where all plan at once, each wants the
// first line that it may begin at, and the first to come takes it.
func rounds(rooms int, group []string, begin func(room string, free []string) string) int {
	free := slices.Clone(group)
	var waiting []string
	for i := range rooms {
		waiting = append(waiting, fmt.Sprintf("room-%d", i))
	}
	n := 0
	for ; len(waiting) > 0; n++ {
		known := slices.Clone(free)
		waiting = slices.DeleteFunc(waiting, func(room string) bool {
			i := slices.Index(free, begin(room, known))
			if i < 0 {
				return false
			}
			free = slices.Delete(free, i, i+1)
			return true
		})
	}
	return n
}

// Ten rooms that plan at once want mostly other lines; from the lowest, all but one would
// plan again each time.
func TestRoomsBeginApart(t *testing.T) {
	var group []string
	for n := range 16 {
		group = append(group, fmt.Sprintf("tie %02d", n))
	}
	drawn := rounds(10, group, func(room string, free []string) string {
		passed := passedOver([][]string{group}, room, func(place string) bool { return slices.Contains(free, place) })
		return free[len(passed)]
	})
	lowest := rounds(10, group, func(_ string, free []string) string { return free[0] })
	t.Logf("the last of ten rooms plans %d times; from the lowest line, %d times", drawn, lowest)
	if lowest != 10 || drawn > lowest/2 {
		t.Error("rooms do not begin apart")
	}
	if got := passedOver([][]string{{"one"}}, "mix", func(string) bool { return true }); got != nil {
		t.Errorf("a single line is passed over: %v", got)
	}
	if got := passedOver([][]string{group}, "mix", func(place string) bool { return place == "tie 03" }); got != nil {
		t.Errorf("the only free line is passed over: %v", got)
	}
}
