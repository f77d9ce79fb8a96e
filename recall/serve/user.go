package serve

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"sync"
)

// connection asks the system once whose process is at the other end.
type connection struct {
	ask  func() string
	once sync.Once
	user string
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
	c.once.Do(func() { c.user = c.ask() })
	return c.user
}

func addressOf(a net.Addr) (netip.AddrPort, bool) {
	tcp, ok := a.(*net.TCPAddr)
	if !ok {
		return netip.AddrPort{}, false
	}
	at := tcp.AddrPort()
	return netip.AddrPortFrom(at.Addr().Unmap(), at.Port()), at.IsValid()
}
