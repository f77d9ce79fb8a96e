//go:build unix

package etcd

import (
	"slices"
	"testing"
	"time"
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
