package serve

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"sync"
)

// connection asks the system whose process is at the other end, until it is told.
type connection struct {
	ask func() string
	// mu guards the field below.
	mu   sync.Mutex
	user string
}

// asksEach is how often the system is asked: its table is read while others change
// it, and an entry can be missed.
const asksEach = 5

func (c *connection) whose() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	for range asksEach {
		if c.user != "" {
			break
		}
		c.user = c.ask()
	}
	return c.user
}

type connectionKey struct{}

// connected notes a new connection in the context of its requests.
func connected(ctx context.Context, c net.Conn) context.Context {
	client, okay := addressOf(c.RemoteAddr())
	server, well := addressOf(c.LocalAddr())
	if !okay || !well || !client.Addr().IsLoopback() {
		return ctx
	}
	return context.WithValue(ctx, connectionKey{}, &connection{ask: func() string { return systemUser(client, server) }})
}

// userOf is the number of the user of this machine whose process has sent a
// request over the loopback; empty where it comes from elsewhere, or the system
// does not tell.
func userOf(r *http.Request) string {
	c, ok := r.Context().Value(connectionKey{}).(*connection)
	if !ok {
		return ""
	}
	return c.whose()
}

func addressOf(a net.Addr) (netip.AddrPort, bool) {
	tcp, ok := a.(*net.TCPAddr)
	if !ok {
		return netip.AddrPort{}, false
	}
	at := tcp.AddrPort()
	return netip.AddrPortFrom(at.Addr().Unmap(), at.Port()), at.IsValid()
}
