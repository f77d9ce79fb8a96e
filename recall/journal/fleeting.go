package journal

import (
	"encoding/json"
	"sync"

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
		e.Seq = uint64(len(f.events) + 1)
		f.events = append(f.events, e)
	}
	return nil
}

// List gives the events after the one numbered since.
func (f *Fleeting) List(since uint64) ([]keep.Event, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if since >= uint64(len(f.events)) {
		return []keep.Event{}, nil
	}
	return append([]keep.Event{}, f.events[since:]...), nil
}
