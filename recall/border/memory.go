package border

import (
	"context"
	"sync"
	"time"
)

// Store keeps a table across restarts. Save is on the disk when it returns.
type Store interface {
	// Load is the table that was saved last; the zero Table if none was.
	Load() (Table, error)
	Save(Table) error
}

// Memory is the border of rooms that one process keeps: it opens no port and starts no
// goroutine.
type Memory struct {
	store Store
	now   func() time.Time
	// mu guards the fields below, and lets one act at a time.
	mu       sync.Mutex
	table    Table
	rooms    Announcements
	watchers Board
}

// NewMemory goes on from the table of a store.
func NewMemory(store Store, now func() time.Time) (*Memory, error) {
	t, err := store.Load()
	if err != nil {
		return nil, err
	}
	return &Memory{store: store, now: now, table: t.Clone()}, nil
}

// Act carries out an act. What cannot be saved is not carried out.
func (m *Memory) Act(ctx context.Context, act Act) (View, error) {
	if err := ctx.Err(); err != nil {
		return View{}, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	change, err := Decide(m.table, act)
	if err != nil || change.Nothing() {
		return m.view(), err
	}
	after := m.table.With(change)
	if err := m.store.Save(after); err != nil {
		return m.view(), err
	}
	m.table = after
	m.watchers.Post(m.view())
	return m.view(), nil
}

// View is the table as it is now.
func (m *Memory) View(ctx context.Context) (View, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.view(), ctx.Err()
}

// Watch gives the newest view at once, and each that differs.
func (m *Memory) Watch(ctx context.Context) <-chan View {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.watchers.Watch(ctx, m.view())
}

func (m *Memory) view() View {
	return View{Table: m.table.Clone(), Seen: m.now(), Announced: m.rooms.Sorted()}
}

// Announce tells how a room is, until the process ends.
func (m *Memory) Announce(ctx context.Context, a Announcement) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.rooms.Put(a)
	m.watchers.Post(m.view())
	return ctx.Err()
}
