//go:build !race

package exact

import (
	"slices"
	"testing"

	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
)

// Where the work is spent before it is known how few plugs can be in the bay, what a plan
// changes needlessly beside its plugs is still left out. Each home begins with its best plan
// and one output more that is switched.
func TestTheRestIsTidyWhereWorkIsSpent(t *testing.T) {
	spent := 0
	homes(t, 6, func(seed int, p *problem.Problem, best *objective.Candidate) {
		known, ok := switchedNeedlessly(p, best)
		if !ok {
			return
		}
		for work := int64(2e5); work < 10e6; work = work * 3 / 2 {
			found := Find(t.Context(), p, nil, known, 0, work)
			if !found.Stopped || found.Best.Score.Plugs != found.Least || found.Best.Score.InBay > best.Score.InBay {
				continue
			}
			spent++
			if is := found.Best.Score; best.Score.Less(is) {
				t.Errorf("home %d with %d looks: %+v, and best is %+v", seed, work, is, best.Score)
			}
		}
	})
	if spent == 0 {
		t.Error("no work was spent between the plugs and the rest")
	}
}

// switchedNeedlessly is a plan with one output more that listens to something.
func switchedNeedlessly(p *problem.Problem, best *objective.Candidate) (*objective.Candidate, bool) {
	for _, o := range p.Outputs {
		if slices.ContainsFunc(o.Crosses, func(x int) bool { return slices.Contains(best.Patch.Crosses, x) }) {
			continue
		}
		for _, x := range o.Crosses {
			d := best.Patch.Clone()
			d.Crosses = append(d.Crosses, x)
			d.Sort()
			if !p.Sound(d) || !p.Gives(d) {
				continue
			}
			if f, ok := objective.Of(p, d); ok && best.Score.Less(f.Score) && f.Score.InBay == best.Score.InBay {
				return f, true
			}
		}
	}
	return nil, false
}
