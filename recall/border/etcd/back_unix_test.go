//go:build unix

package etcd

import (
	"fmt"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"bayhand/recall/border"
)

// BenchmarkTableBack is how long nobody can claim after the leader of three servers was
// killed.
func BenchmarkTableBack(b *testing.B) {
	c := begin(b, 3)
	one := at(b, "back", c.servers()...)
	a := claim("mix", 0, "tie 1")
	var took []time.Duration
	for b.Loop() {
		b.StopTimer()
		leader := c.leader()
		c.kill(c.members[leader])
		b.StartTimer()
		began := time.Now()
		a.Number++
		act(b, one, a, nil)
		took = append(took, time.Since(began))
		b.StopTimer()
		c.start(c.members[leader])
		b.StartTimer()
	}
	b.ReportMetric(slices.Max(took).Seconds(), "s-at-most")
}

// BenchmarkEvents is claims and releases of eight rooms at once, each at its own place,
// with three servers.
func BenchmarkEvents(b *testing.B) {
	c := begin(b, 3)
	one := at(b, "events", c.servers()...)
	act(b, one, claim("first", 1, "first"), nil)
	var rooms atomic.Int64
	b.SetParallelism(8 / min(8, runtime.GOMAXPROCS(0)))
	b.ResetTimer()
	b.RunParallel(func(pb *testing.PB) {
		room := fmt.Sprint("room-", rooms.Add(1))
		a := claim(room, 0, border.Place(room))
		for pb.Next() {
			a.Number++
			a.Do = border.ToClaim
			if a.Number%2 == 0 {
				a.Do = border.ToRelease
			}
			if _, err := one.Act(b.Context(), a); err != nil {
				b.Error(err)
			}
		}
	})
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "events/s")
}
