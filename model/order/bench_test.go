package order_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"bayhand/model/heard"
	"bayhand/model/order"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/text"
	"bayhand/simulators/rooms"
)

// BenchmarkBoathouse puts the steps in order that lead from rest to the invented
// boathouse's sessions. It reports how many times longer that takes than to hear
// the room once.
func BenchmarkBoathouse(b *testing.B) {
	s, _, problems := text.ReadStudio("studio.yaml", file(b, filepath.Join(heron, "studio.yaml")))
	if problems.Errors() {
		b.Fatal(problems)
	}
	for _, name := range []string{"evening-listening", "tern-mix-1", "tern-mix-2", "curlew-overdubs"} {
		asked := read(b, s, filepath.Join(heron, "sessions", name+".yaml"))
		b.Run(name, func(b *testing.B) { bench(b, to(b, s, filepath.Join("testdata", name+".patch.yaml"), asked)) })
	}
}

// BenchmarkFacility does so in houses of growing size, for two cords and for
// forty that are pulled: the work should go with the cords, but for a few times
// of hearing the room.
func BenchmarkFacility(b *testing.B) {
	for _, bays := range []int{5, 10, 20, 40} {
		s, _, problems := text.ReadStudio("studio.yaml", []byte(rooms.Facility(bays)))
		if problems.Errors() {
			b.Fatal(problems)
		}
		for _, cords := range []int{2, 40} {
			from := s.Rest.Clone()
			for i := range cords {
				bay := s.Bays[i%len(s.Bays)]
				from.Cords = append(from.Cords, patch.Cord{A: bay.TopJack(1 + i), B: s.Bays[(i+1)%len(s.Bays)].BottomJack(2 + i)})
			}
			w := way{room: heard.NewRoom(s), from: from}
			var err error
			if w.plan, err = planner.Target(b.Context(), plan.Request{Studio: s, From: from}); err != nil {
				b.Fatal(err)
			}
			w.moves = slices.Clone(w.plan.Moves)
			b.Run(fmt.Sprintf("%d-bays/%d-cords", bays, cords), func(b *testing.B) { bench(b, w) })
		}
	}
}

func bench(b *testing.B, w way) {
	for b.Loop() {
		var err error
		if w.plan.Steps, _, err = order.Steps(w.task()); err != nil {
			b.Fatal(err)
		}
	}
	own := b.Elapsed() / time.Duration(b.N)
	began := time.Now()
	for range 20 {
		w.room.Hear(w.from)
	}
	b.ReportMetric(float64(20*own)/float64(time.Since(began)), "hearings")
	b.ReportMetric(float64(len(w.plan.Steps)), "steps")
}
