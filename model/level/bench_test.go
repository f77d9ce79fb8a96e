package level_test

import (
	"fmt"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/level"
	"bayhand/model/measure"
	"bayhand/model/text"
	"bayhand/simulators/rooms"
)

// BenchmarkFacility works out every arrival in a house of up to 40 bays and 6,000
// ports, at four sizes; growth is the time against that at half the size, and
// hears is the time in that of hearing the house once.
func BenchmarkFacility(b *testing.B) {
	before := 0.0
	for _, bays := range []int{5, 10, 20, 40} {
		s, _, problems := text.ReadStudio("studio.yaml", []byte(rooms.Facility(bays)))
		if len(problems) > 0 {
			b.Fatal(problems[0])
		}
		room := heard.NewRoom(s)
		hears := 0.0
		b.Run(fmt.Sprintf("hear/bays=%d", bays), func(b *testing.B) {
			for b.Loop() {
				room.Hear(s.Rest)
			}
			hears = perRun(b)
		})
		b.Run(fmt.Sprintf("levels/bays=%d", bays), func(b *testing.B) {
			b.ReportAllocs()
			arrivals := 0
			for b.Loop() {
				arrivals = len(level.New(room, s.Rest, level.Options{Assume: 10 * measure.Metre}).All())
			}
			now := perRun(b)
			if before > 0 {
				b.ReportMetric(now/before, "growth")
			}
			before = now
			b.ReportMetric(float64(arrivals), "arrivals")
			b.ReportMetric(now/hears, "hears")
		})
	}
}

func perRun(b *testing.B) float64 { return float64(b.Elapsed()) / float64(b.N) }
