package suspect_test

import (
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/suspect"
)

// A fault with two causes or more is told apart by the listening plug that is proposed:
// with it in the metal, fewer causes give the reading, and the planted one is still
// among them. BAYHAND_PROBES says in how many rooms.
func TestProbeTellsApart(t *testing.T) {
	ambiguous, proposed, settled := 0, 0, 0
	for seed := range countOf("BAYHAND_PROBES", 12) {
		u := draw(uint64(9000+seed), 8, 3)
		c := u.scene()
		for _, code := range []suspect.Code{suspect.CordMissing, suspect.CordDead} {
			p, ok := u.plant(code)
			if !ok {
				continue
			}
			answer := c.Explain(c.Judge(u.measure(t, c, p.patch, p.faults)))
			if len(answer.Findings) != 1 || len(answer.Findings[0].OrElse) == 0 {
				continue
			}
			ambiguous++
			f := answer.Findings[0]
			probe, found := c.Probe(f)
			if !found {
				continue
			}
			proposed++
			plug := patch.Cord{A: probe.At, B: probe.Into}
			told := u.patch.Clone()
			told.Cords = append(told.Cords, plug)
			real := p.patch.Clone()
			real.Cords = append(real.Cords, plug)
			probed := suspect.New(suspect.Setup{Room: heard.NewRoom(u.studio), Patch: told, Outputs: c.Outputs, Inputs: c.Inputs})
			read := probed.Judge(u.measure(t, probed, real, p.faults))
			all := append([]suspect.Mistake{f.Mistake}, f.OrElse...)
			all = all[:min(len(all), 12)]
			left := slices.DeleteFunc(slices.Clone(all), func(m suspect.Mistake) bool { return !probed.Gives(m, read) })
			if len(left) < len(all) {
				settled++
			}
			named := func(causes []suspect.Mistake) bool {
				return slices.ContainsFunc(causes, func(m suspect.Mistake) bool { return m.Code == p.code && startsWith(m.At, p.at) })
			}
			if named(all) && !named(left) {
				t.Errorf("room %d, %s at %v: the plug %v leaves %v", seed, p.code, p.at, probe, left)
			}
		}
	}
	t.Logf("%d ambiguous, %d with a plug, %d of those told apart further", ambiguous, proposed, settled)
	if proposed == 0 || settled < proposed {
		t.Errorf("%d plugs were proposed, and %d told anything apart", proposed, settled)
	}
}
