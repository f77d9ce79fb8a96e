package suspect_test

import (
	"testing"

	"bayhand/model/suspect"
)

// A fault with causes at several places is told apart by the listening plug that is
// proposed: with it in the metal, or with a plug found in its jack, fewer causes are left,
// and the planted one is still among them. BAYHAND_PROBES says in how many rooms.
func TestProbeTellsApart(t *testing.T) {
	var count named
	for seed := range countOf("BAYHAND_PROBES", 12) {
		u := draw(uint64(9000+seed), 8, 3)
		c := u.scene()
		for _, code := range []suspect.Code{suspect.CordMissing, suspect.CordDead, suspect.CordElsewhere} {
			p, ok := u.plant(code)
			if !ok {
				continue
			}
			answer := c.Explain(c.Judge(u.measure(t, c, p.patch, p.faults)))
			if len(answer.Findings) != 1 || suspect.Places(causesOf(answer.Findings[0])) == 1 {
				continue
			}
			count.add(u.withPlug(t, c, p, answer.Findings[0], &count))
		}
	}
	t.Logf("%+v", count)
	if count.probed == 0 || count.settled == 0 {
		t.Errorf("no plug told anything apart: %+v", count)
	}
}
