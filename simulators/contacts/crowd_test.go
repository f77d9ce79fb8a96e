package contacts_test

import (
	"fmt"
	"maps"
	"os"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
)

// BAYHAND_ROOMS is the number of made-up rooms that the property is tried on.
func roomsToTry(t *testing.T) uint64 {
	text := os.Getenv("BAYHAND_ROOMS")
	if text == "" {
		return 1000
	}
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil || n == 0 {
		t.Fatalf("BAYHAND_ROOMS is %q; write a number of rooms from 1", text)
	}
	return n
}

// tally counts what was compared, and the rooms that held each thing.
type tally map[string]int

// rooms with a thing are told from other counts by this word.
const roomsWith = "rooms with "

func (n tally) count(what string, holds bool) {
	if holds {
		n[roomsWith+what]++
		return
	}
	n[roomsWith+what] += 0
}

func (n tally) report(t *testing.T, count uint64) {
	t.Helper()
	t.Logf("%d rooms of up to %d jacks", count, mostJacks)
	for _, what := range slices.Sorted(maps.Keys(n)) {
		t.Logf("%8d  %5.1f %%  %s", n[what], 100*float64(n[what])/float64(count), what)
	}
}

// often expects each thing in one room of twenty at least: a property that never
// met a mult says nothing of mults. Few rooms cannot promise it.
func (n tally) often(t *testing.T, count uint64) {
	t.Helper()
	if count < 1000 {
		return
	}
	for what, found := range n {
		if uint64(found)*20 < count {
			t.Errorf("only %d %s among %d rooms, which is below 5 %%", found, what, count)
		}
	}
}

// outcome is what the rooms tried have shown; first is what differs in the room
// of the lowest seed that differs.
type outcome struct {
	total tally
	first *difference
}

type difference struct {
	seed uint64
	text string
	// err is set where the room could not be built or measured.
	err error
}

// tryRooms tries the rooms of the seeds below count, on all processors. It ends
// at the first difference; the lowest seed with one is the same on every
// machine, since every lower one was begun before and is finished.
func tryRooms(count uint64) outcome {
	result := outcome{total: tally{}}
	var next, stop atomic.Uint64
	stop.Store(count)
	var mu sync.Mutex // guards result
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			mine := tally{}
			for seed := next.Add(1) - 1; seed < stop.Load(); seed = next.Add(1) - 1 {
				text, err := tryRoom(seed, mine)
				if err != nil || text != "" {
					stop.Store(0)
					mu.Lock()
					result.keep(difference{seed, fmt.Sprintf("seed %d: %s", seed, text), err})
					mu.Unlock()
				}
			}
			mu.Lock()
			defer mu.Unlock()
			for what, n := range mine {
				result.total[what] += n
			}
		})
	}
	workers.Wait()
	return result
}

func (o *outcome) keep(d difference) {
	if o.first == nil || d.seed < o.first.seed {
		o.first = &d
	}
}
