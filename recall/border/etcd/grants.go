package etcd

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"time"

	"bayhand/recall/border"
)

// Served is a line over the network for which a host wants the grant.
type Served struct {
	Line string
	// First is true for the host on which the line hangs: at a start it has the grant
	// before those that stand by.
	First bool
}

// A grant is a key with a lease: it goes when the lease ends, which the servers see to by
// their own clock. A host counts from before it asked, by a clock that goes on evenly, so
// that for itself the grant ends sooner than for the servers.
const (
	usualLease = 15 * time.Second
	// A third of the lease passes between renewals, and as long do those that stand by
	// wait after their start for the line's own host.
	renewals = 3
	// margin is the part of the lease before whose end a host lets go.
	margin = 10
)

// given is the value of a grant's key.
type given struct {
	Host  string    `json:"host"`
	Lease int64     `json:"lease,string"`
	Since time.Time `json:"since"`
}

// Hold asks for the grants of some lines, and renews them, until the context ends; then
// it gives them back. Told is called with each grant that this host gets, and with a
// grant of epoch 0 when it has it no more: it returns when nothing is sent on the line
// any longer. It is not called twice at a time for one line.
func (b *Border) Hold(ctx context.Context, host string, lines []Served, told func(border.Grant)) error {
	var all sync.WaitGroup
	for _, line := range lines {
		h := holding{border: b, host: host, line: line, told: told, began: time.Now()}
		all.Go(func() { h.run(ctx) })
	}
	all.Wait()
	return nil
}

// Granted says whether this host has the grant of a line at this moment. A process that was
// stopped and goes on may ask before Hold has told it that the grant is gone.
func (b *Border) Granted(line string) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return time.Now().Before(b.until[line])
}

// lasts notes when a grant ends; the zero time where it is not held.
func (h *holding) lasts(until time.Time) {
	h.until = until
	h.border.mu.Lock()
	defer h.border.mu.Unlock()
	h.border.until[h.line.Line] = until
}

// holding is one line's grant, as a host asks for it.
type holding struct {
	border *Border
	host   string
	line   Served
	told   func(border.Grant)
	began  time.Time

	lease int64
	until time.Time // by the clock here; the grant is held before that
	held  bool
}

func (h *holding) key() string { return h.border.prefix + grantKey + h.line.Line }

func (h *holding) run(ctx context.Context) {
	for ctx.Err() == nil {
		select {
		case <-time.After(h.turn(ctx)):
		case <-ctx.Done():
		}
	}
	if !h.held {
		return
	}
	h.lose()
	revoking, stop := context.WithTimeout(context.WithoutCancel(ctx), h.border.options.Try)
	defer stop()
	_ = h.border.servers.ask(revoking, revokePath, leaseQuestion{ID: h.lease}, &leaseAnswer{}) // else it ends by itself
}

// turn does what is due, and says how long there is time until the next.
func (h *holding) turn(ctx context.Context) time.Duration {
	lease := h.border.options.Lease
	if h.held {
		return h.renew(ctx, lease)
	}
	if !h.line.First && time.Since(h.began) < lease/renewals {
		return lease / renewals / 5
	}
	h.take(ctx, lease)
	if h.held {
		return lease / renewals
	}
	return lease / renewals / 3
}

// renew makes the lease last longer. A host that cannot lets go in time.
func (h *holding) renew(ctx context.Context, lease time.Duration) time.Duration {
	asked := time.Now()
	asking, stop := context.WithDeadline(ctx, h.until)
	defer stop()
	var a renewed
	err := h.border.servers.ask(asking, renewPath, leaseQuestion{ID: h.lease}, &a)
	switch {
	case ctx.Err() != nil:
		return 0
	case err == nil && a.Result.TTL > 0:
		h.lasts(h.end(asked, a.Result.TTL))
		return lease / renewals
	case err == nil, !time.Now().Before(h.until):
		h.lose()
		return 0
	}
	return min(lease/renewals/5, time.Until(h.until))
}

// end is when a grant ends here whose lease was asked for at a time.
func (h *holding) end(asked time.Time, seconds int64) time.Time {
	lasts := time.Duration(seconds) * time.Second
	return asked.Add(lasts - lasts/margin)
}

// take asks for a lease where nobody has the grant, and writes the grant if there is still
// none, in the table that this host knows and no other. A lease of which no grant comes
// ends by itself.
func (h *holding) take(ctx context.Context, lease time.Duration) {
	asking, stop := context.WithTimeout(ctx, h.border.options.Patience)
	defer stop()
	s, err := h.border.read(asking)
	if err != nil || s.mods[h.key()] > 0 {
		return
	}
	asked := time.Now()
	var l leaseAnswer
	if err := h.border.servers.ask(asking, leasePath, leaseQuestion{TTL: int64(lease / time.Second)}, &l); err != nil || l.ID == 0 {
		return
	}
	g := given{Host: h.host, Lease: l.ID, Since: h.border.options.Now()}
	text, err := json.Marshal(g)
	if err != nil {
		return
	}
	key, table := []byte(h.key()), h.border.prefix+tableKey
	look := operation{Range: &rangeQuestion{Key: key}}
	var o outcome
	if err := h.border.servers.ask(asking, txnPath, transaction{
		Compare: []comparison{unchanged(h.key(), 0), unchanged(table, s.mods[table])},
		Success: []operation{{Put: &putQuestion{Key: key, Value: text, Lease: l.ID}}, look},
		Failure: []operation{look},
	}, &o); err != nil {
		return
	}
	// An answer that was lost leaves the key there: whose it is, its lease says.
	if epoch, own := epochOf(o, l.ID); own {
		h.lease, h.held = l.ID, true
		h.lasts(h.end(asked, l.TTL))
		h.told(border.Grant{Line: h.line.Line, Host: h.host, Epoch: epoch, Since: g.Since})
	}
}

// epochOf is the epoch of the grant that stands, and whether it hangs on a lease.
func epochOf(o outcome, lease int64) (uint64, bool) {
	for _, r := range o.Responses {
		if r.Range == nil || len(r.Range.Pairs) == 0 {
			continue
		}
		var g given
		if json.Unmarshal(r.Range.Pairs[0].Value, &g) == nil && g.Lease == lease {
			return r.Range.Pairs[0].Mod, true
		}
	}
	return 0, false
}

// lose lets go of the line before anybody else may have it.
func (h *holding) lose() {
	h.held = false
	h.lasts(time.Time{})
	h.told(border.Grant{Line: h.line.Line})
}

// granted takes the entry of a grant.
func granted(line string, p pair) (border.Grant, error) {
	var g given
	if err := json.Unmarshal(p.Value, &g); err != nil {
		return border.Grant{}, fmt.Errorf("a grant of %s: %w", line, err)
	}
	return border.Grant{Line: line, Host: g.Host, Epoch: p.Mod, Since: g.Since}, nil
}
