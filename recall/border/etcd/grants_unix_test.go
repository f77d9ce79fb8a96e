//go:build unix

package etcd

import (
	"context"
	"syscall"
	"testing"
	"time"

	"bayhand/recall/border"
)

// holder is a host that asks for the grant of one line; what it is told comes in order.
type holder struct {
	border *Border
	told   chan border.Grant
	stop   context.CancelFunc
	ended  chan error
}

func hold(t *testing.T, server, host string, first bool) *holder {
	t.Helper()
	b := at(t, "grants", server)
	b.options.Lease = 3 * time.Second
	ctx, stop := context.WithCancel(t.Context())
	h := &holder{b, make(chan border.Grant, 64), stop, make(chan error, 1)}
	go func() {
		h.ended <- b.Hold(ctx, host, []Served{{"grid", first}}, func(g border.Grant) { h.told <- g })
	}()
	t.Cleanup(stop)
	return h
}

// next is what a host is told next, however long it takes.
func (h *holder) next(t *testing.T) border.Grant {
	t.Helper()
	select {
	case g := <-h.told:
		return g
	case <-time.After(time.Minute):
		t.Fatal("it is told nothing")
	}
	return border.Grant{}
}

// One host at a time has a line: the second when the first gives it back, and with a
// greater epoch; a host that is cut off lets go, and says so, before the other has it.
func TestGrants(t *testing.T) {
	t.Parallel()
	c := begin(t, 1)
	server := c.servers()[0]
	north := hold(t, server, "north", true)
	first := north.next(t)
	if first.Epoch == 0 || first.Host != "north" || first.Line != "grid" {
		t.Fatalf("north has %+v", first)
	}
	south := hold(t, server, "south", false)
	view, err := south.border.View(t.Context())
	if err != nil || len(view.Grants) != 1 || view.Grants[0].Host != "north" || view.Grants[0].Epoch != first.Epoch {
		t.Errorf("the table has %+v, %v", view.Grants, err)
	}
	north.stop()
	if err := <-north.ended; err != nil {
		t.Error(err)
	}
	if g := north.next(t); g.Epoch != 0 {
		t.Errorf("north has %+v after it gave back", g)
	}
	second := south.next(t)
	if second.Epoch <= first.Epoch || second.Host != "south" {
		t.Errorf("south has %+v after %+v", second, first)
	}

	// The servers stop: south lets go by itself. They go on, and it asks anew.
	c.signal(c.members[0], syscall.SIGSTOP)
	if g := south.next(t); g.Epoch != 0 {
		t.Errorf("south has %+v without the servers", g)
	}
	c.signal(c.members[0], syscall.SIGCONT)
	if third := south.next(t); third.Epoch < second.Epoch || third.Host != "south" {
		t.Errorf("south has %+v after %+v", third, second)
	}
}

// A host that stops for longer than its lease lasts, as one does whose lid is shut, has
// lost the line when it wakes; who stood by has it. Here its way to the servers is shut.
func TestGrantGoesToWhoStandsBy(t *testing.T) {
	t.Parallel()
	c := begin(t, 1)
	way, address := newLossy(t, c.servers()[0])
	way.healed.Store(true)
	north := hold(t, address, "north", true)
	first := north.next(t)
	south := hold(t, c.servers()[0], "south", false)
	way.shut.Store(true)
	lost := north.next(t)
	second := south.next(t)
	if lost.Epoch != 0 || second.Epoch <= first.Epoch || second.Host != "south" {
		t.Errorf("%+v, then %+v, then %+v", first, lost, second)
	}
	if north.border.Granted("grid") || !south.border.Granted("grid") || south.border.Granted("other") {
		t.Error("the grant is not south's alone")
	}
	way.shut.Store(false)
	if g, err := north.border.View(t.Context()); err != nil || g.Grants[0].Host != "south" {
		t.Errorf("when it is back: %+v, %v", g.Grants, err)
	}
	select {
	case g := <-north.told:
		t.Errorf("north has %+v beside south", g)
	default:
	}
}

// A process that was stopped beyond the end of its grant, and goes on, has it no more,
// though nothing was told yet.
func TestGrantEndsByItself(t *testing.T) {
	b, err := New(Options{House: "grants", Servers: []string{"http://127.0.0.1:1"}})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	h := holding{border: b, line: Served{Line: "grid"}}
	h.lasts(time.Now().Add(time.Hour))
	if !b.Granted("grid") {
		t.Error("it is not granted before its end")
	}
	h.lasts(time.Now().Add(-time.Millisecond))
	if b.Granted("grid") {
		t.Error("it is granted after its end")
	}
}
