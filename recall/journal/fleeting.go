package journal

import (
	"encoding/json"
	"slices"
	"sync"
	"time"

	"bayhand/recall/keep"
)

// Fleeting is a journal that ends with the process, for tests and for rooms of
// which nothing need be remembered. Each memory passes through its JSON form, as
// it does on the way to a file and back. The zero Fleeting is ready.
type Fleeting struct {
	// mu guards the fields below.
	mu      sync.Mutex
	written [][]byte
	events  []keep.Event
	last    uint64
}

// Load gives what was written last.
func (f *Fleeting) Load() (keep.Memory, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.after(len(f.written))
}

// After gives the memory after the first n writes: what a keeper that ended
// there would wake up with.
func (f *Fleeting) After(n int) (keep.Memory, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.after(n)
}

func (f *Fleeting) after(n int) (m keep.Memory, err error) {
	if n == 0 {
		return m, nil
	}
	err = json.Unmarshal(f.written[n-1], &m)
	return m, err
}

// Writes is how often anything was written.
func (f *Fleeting) Writes() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	return len(f.written)
}

// Write keeps the memory and the events.
func (f *Fleeting) Write(m keep.Memory, events []keep.Event) error {
	text, err := json.Marshal(m)
	if err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.written = append(f.written, text)
	for _, e := range events {
		f.last++
		e.Seq = f.last
		f.events = append(f.events, e)
	}
	return nil
}

// Find gives the events that the query chooses, the oldest first.
func (f *Fleeting) Find(q keep.Query) ([]keep.Event, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	found := []keep.Event{}
	for _, e := range f.events {
		if q.Takes(e) {
			found = append(found, e)
		}
	}
	if q.First > 0 && q.Last <= 0 {
		return found[:min(q.First, len(found))], nil
	}
	return newest(found, q.Last), nil
}

// Prune forgets the oldest events, up to the first that is not before a time, and
// remembers that it did.
func (f *Fleeting) Prune(before time.Time, by keep.Event) (int, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	old := slices.IndexFunc(f.events, func(e keep.Event) bool { return !e.At.Before(before) })
	if old < 0 {
		old = len(f.events)
	}
	if old == 0 {
		return 0, nil
	}
	f.events = slices.Delete(f.events, 0, old)
	e := Pruning(by, old, before)
	f.last++
	e.Seq = f.last
	f.events = append(f.events, e)
	return old, nil
}
