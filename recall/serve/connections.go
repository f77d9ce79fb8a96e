package serve

import (
	"net"
	"net/http"
	"sync"
	"time"
)

// How many connections may be open. What waits for a request is let go when there are
// more, the oldest first: so whoever opens thousands and says nothing, or a byte now
// and then, shuts out nobody. Those that are being answered are few: who is not let in
// is answered at once, and streams have their own bound.
const (
	connectionsInAll  = 2000
	connectionsOfEach = 600
)

// connections are those that are open. The zero connections are ready.
type connections struct {
	// mu guards the fields below.
	mu   sync.Mutex
	open map[net.Conn]*opened
	of   map[string]int
}

// opened is one connection.
type opened struct {
	from string
	// waits is true while no request is being answered, and since when.
	waits bool
	since time.Time
}

// changed takes in that a connection is in another state (http.Server.ConnState).
func (c *connections) changed(conn net.Conn, state http.ConnState) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch state {
	case http.StateNew:
		c.begin(conn)
	case http.StateActive, http.StateIdle:
		if o := c.open[conn]; o != nil {
			o.waits, o.since = state == http.StateIdle, time.Now()
		}
	case http.StateClosed, http.StateHijacked:
		c.end(conn)
	}
}

// begin counts a new connection, and lets another go where there are too many.
func (c *connections) begin(conn net.Conn) {
	if c.open == nil {
		c.open, c.of = map[net.Conn]*opened{}, map[string]int{}
	}
	o := &opened{from: conn.RemoteAddr().String(), waits: true, since: time.Now()}
	if host, _, err := net.SplitHostPort(o.from); err == nil {
		o.from = host
	}
	c.open[conn] = o
	c.of[o.from]++
	switch {
	case c.of[o.from] > connectionsOfEach:
		c.letGo(func(other *opened) bool { return other.from == o.from })
	case len(c.open) > connectionsInAll:
		c.letGo(func(*opened) bool { return true })
	}
}

func (c *connections) end(conn net.Conn) {
	o := c.open[conn]
	if o == nil {
		return
	}
	delete(c.open, conn)
	if c.of[o.from]--; c.of[o.from] == 0 {
		delete(c.of, o.from)
	}
}

// letGo closes the connection that has waited the longest, of those that are meant.
// There is always one: the newest waits for its first request.
func (c *connections) letGo(meant func(*opened) bool) {
	var oldest net.Conn
	for conn, o := range c.open {
		if o.waits && meant(o) && (oldest == nil || o.since.Before(c.open[oldest].since)) {
			oldest = conn
		}
	}
	c.end(oldest)
	if secured, ok := oldest.(interface{ NetConn() net.Conn }); ok {
		oldest = secured.NetConn() // TLS would take leave first, and wait for the other end
	}
	_ = oldest.Close() // it is gone, whatever the system says
}
