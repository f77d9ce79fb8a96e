package keep_test

import (
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/recall/keep"
)

// Nobody sends a step again that a device refused or did not carry out, and where nobody
// keeps the room, nobody asks a silent device again. To recall the session once more does,
// and the problem offers it.
func TestRecallAgainIsOffered(t *testing.T) {
	again := []keep.Act{{Do: keep.ToRecall, Session: "plain"}}
	for code, c := range map[string]struct {
		fault func(*unit)
		once  bool
		want  []keep.Act
	}{
		"differs":   {fault: func(u *unit) { u.stuck[out(1)] = true }, want: again},
		"no-answer": {fault: func(u *unit) { u.gone = true }, once: true, want: again},
		"":          {fault: func(u *unit) { u.gone = true }}, // it is asked again by itself
	} {
		onBench(t, func(b *bench) {
			c.fault(b.units["grid"])
			config := b.config()
			config.Once = c.once
			if c.once {
				config.Poll = -1
			}
			b.startWith(config)
			s, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain"})
			if err == nil {
				t.Errorf("%q: nothing failed", code)
			}
			got, of := []keep.Act(nil), ""
			if i := slices.IndexFunc(s.Problems, func(p keep.Problem) bool { return len(p.Remedies) > 0 && p.Code != "bay-asked" }); i >= 0 {
				got, of = s.Problems[i].Remedies, s.Problems[i].Code
			}
			if diff := cmp.Diff(c.want, got); diff != "" || of != code {
				t.Errorf("%q: of %q %s", code, of, diff)
			}
			if code == "differs" {
				b.units["grid"].change(func(u *unit) { clear(u.stuck) })
				if s, err = asked(b.keeper, got[0]); err != nil || s.Phase != keep.Given {
					t.Errorf("recalled again the room is %s: %v", s.Phase, err)
				}
				b.pass(time.Second)
			}
		})
	}
}
