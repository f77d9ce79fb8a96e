package reading_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// BenchmarkInput reads one input that hears one output over noise, among so many
// outputs; a room takes it once for each input, several beside each other.
func BenchmarkInput(b *testing.B) {
	for _, outputs := range []int{8, 32, 128} {
		b.Run(fmt.Sprint(outputs), func(b *testing.B) {
			comb, err := tones.New(48000, outputs)
			if err != nil {
				b.Fatal(err)
			}
			ear := reading.NewEar(comb, -30)
			r := &room{comb, rand.New(rand.NewPCG(3, 5)), comb.Timing(), map[int][]float64{}}
			samples := r.noise(r.played(0), -100)
			for b.Loop() {
				if got := listen(b, ear, samples); !got.Paths[0][0].Found {
					b.Fatal("not heard")
				}
			}
		})
	}
}
