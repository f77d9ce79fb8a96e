package matrix

// Hand is who changed a crosspoint.
type Hand uint8

const (
	// HandUnknown is the zero value; no event has it.
	HandUnknown Hand = iota
	// Line is a message that arrived.
	Line
	// Front is a person at the front panel.
	Front
	// Power is a restart.
	Power
)

func (h Hand) String() string {
	switch h {
	case Line:
		return "line"
	case Front:
		return "front"
	case Power:
		return "power"
	case HandUnknown:
	}
	return "unknown"
}

// Event is one crosspoint that moved.
type Event struct {
	// Number counts the events of a matrix from 1.
	Number     int
	Crosspoint Crosspoint
	// Closed is true where it closed, false where it opened.
	Closed bool
	By     Hand
}

// Remembered is the number of events that a matrix keeps; older ones go.
const Remembered = 4096

// history keeps the last events.
type history struct {
	events []Event
	count  int
}

func (h *history) add(e Event) {
	h.count++
	e.Number = h.count
	// Half is thrown away at a time, so that adding stays cheap.
	if len(h.events) == 2*Remembered {
		h.events = append(h.events[:0], h.events[Remembered:]...)
	}
	h.events = append(h.events, e)
}

// History is the events after the one of that number, oldest first, as far as
// they are remembered; after 0 all of them.
func (m *Matrix) History(after int) []Event {
	m.mu.Lock()
	defer m.mu.Unlock()
	events := m.history.events
	if len(events) > Remembered {
		events = events[len(events)-Remembered:]
	}
	var later []Event
	for _, e := range events {
		if e.Number > after {
			later = append(later, e)
		}
	}
	return later
}

// Last is the number of the last event, 0 before the first.
func (m *Matrix) Last() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.history.count
}

// Watch gives a channel that has something to receive after a change, once for
// any number of changes; History tells which. Stop ends it.
func (m *Matrix) Watch() (changed <-chan struct{}, stop func()) {
	c := make(chan struct{}, 1)
	m.mu.Lock()
	defer m.mu.Unlock()
	m.watches[c] = true
	return c, func() {
		m.mu.Lock()
		defer m.mu.Unlock()
		delete(m.watches, c)
	}
}

// tell wakes the watchers; the caller holds mu.
func (m *Matrix) tell() {
	for c := range m.watches {
		select {
		case c <- struct{}{}:
		default: // it has not looked yet since the last change
		}
	}
}
