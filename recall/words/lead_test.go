package words

import (
	"testing"

	"bayhand/model/name"
)

// A lead is plugged from its source on, and pulled from its destination on.
func TestLeadsGoInSourceFirst(t *testing.T) {
	jack := name.At("main", "b", 3)
	for port, first := range map[name.Point]bool{name.At("synth", "out", 1): true, name.At("recorder", "in", 1): false} {
		if got := sourceFirst([]name.Point{port, jack}); (got[0] == port) != first {
			t.Errorf("%s: %v", port, got)
		}
	}
}
