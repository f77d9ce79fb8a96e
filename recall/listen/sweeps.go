package listen

import (
	"context"
	"runtime"
	"slices"
	"sync"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// sweeps plays a sweep on each output in turn, and reads them.
func (m *measuring) sweeps(ctx context.Context, level float64, bounds []float64, about Progress) (one part, heard float64, err error) {
	l := m.plan
	s, err := tones.NewSweeps(l.Rate(), len(l.Driven))
	if err != nil {
		return one, 0, err
	}
	played := slices.Repeat([]int{-1}, l.Format().Outputs)
	for slot, place := range l.Driven {
		played[l.Device.Sound.Outputs[place].Channel-1] = slot
	}
	p, err := m.play(ctx, l, s.Sound(level, played), bounds, about)
	if err != nil {
		return one, 0, err
	}
	one, err = readSweeps(ctx, s, level, p.recorded)
	return one, p.loudest, err
}

// readSweeps reads inputs beside each other.
func readSweeps(ctx context.Context, s *tones.Sweeps, level float64, recorded [][]float32) (part, error) {
	one := part{whole: &reading.Reading{Rate: s.Rate, Inputs: make([]reading.Input, len(recorded))},
		paths: make([][]reading.Path, len(recorded)), seconds: float64(s.Timing().Length) / float64(s.Rate)}
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(recorded)) {
		workers.Go(func() {
			slots := reading.NewSlots(s, level)
			for i := range next {
				one.paths[i], one.whole.Inputs[i] = slots.Listen(recorded[i])
			}
		})
	}
	for i := range recorded {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	workers.Wait()
	if ctx.Err() != nil {
		return part{}, ErrStopped
	}
	return one, nil
}
