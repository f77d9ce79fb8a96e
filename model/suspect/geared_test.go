package suspect_test

import (
	"slices"
	"testing"

	"bayhand/model/name"
	"bayhand/model/reading"
	"bayhand/model/studio"
	"bayhand/model/suspect"
)

// Where a cord in a wrong jack brings an output to an input through gear, though it should
// come there directly, gear has its own level and polarity, which nobody knows: whatever
// they are, that cord is among the causes, and nothing stays unexplained. BAYHAND_GEARED
// says in how many rooms.
func TestGearWhereNoneShouldBe(t *testing.T) {
	readings := 0
	for seed := range countOf("BAYHAND_GEARED", 4) {
		u := draw(uint64(1000+seed), 8, 3)
		u.mark()
		c := u.scene()
		for at, cord := range u.patch.Cords {
			for _, to := range u.free() {
				wrong := u.patch.Clone()
				wrong.Cords[at].B = to
				paths := u.measure(t, c, wrong, nil)
				if !u.colour(c, paths) {
					continue
				}
				readings++
				if answer := c.Explain(c.Judge(paths)); len(answer.Unexplained) > 0 || !moved(answer, cord.A, cord.B) {
					t.Errorf("room %d, %v - %v in %v: %+v", seed, cord.A, cord.B, to, answer)
				}
			}
		}
	}
	if readings == 0 {
		t.Error("nothing came through gear")
	}
	t.Logf("%d readings", readings)
}

// mark makes gear late, by which what has been through some is known.
func (u *usual) mark() {
	u.late = map[studio.Pass]float64{}
	for _, g := range u.studio.Gear {
		for _, pass := range g.Passes {
			u.late[pass] = 1
		}
	}
}

// colour draws the level and the polarity of what comes through gear and should come
// directly; false where nothing does.
func (u *usual) colour(c *suspect.Scene, paths [][]reading.Path) (any bool) {
	for i := range paths {
		for o := range paths[i] {
			if read := &paths[i][o]; read.Found && read.Delay > 0 && c.Direct(o, i) {
				read.Level -= []float64{0, 3.25, 6, 12}[u.random.IntN(4)]
				read.Polarity = []reading.Polarity{reading.Kept, reading.Reversed}[u.random.IntN(2)]
				any = true
			}
		}
	}
	return any
}

// moved says whether an answer has among its causes that a cord is in a wrong jack.
func moved(answer suspect.Answer, from, to name.Point) bool {
	for _, f := range answer.Findings {
		for _, m := range append([]suspect.Mistake{f.Mistake}, f.OrElse...) {
			wrong := m.Code == suspect.CordBeside || m.Code == suspect.CordElsewhere
			if wrong && slices.Contains(m.At, from) && slices.Contains(m.At, to) {
				return true
			}
		}
	}
	return false
}
