package link

import (
	"context"
	"net"
	"strconv"
	"time"
)

// keepAlive finds a peer that went away without a word within half a minute:
// a device that lost its power says nothing.
var keepAlive = net.KeepAliveConfig{Enable: true, Idle: 15 * time.Second, Interval: 5 * time.Second, Count: 3}

func openTCP(ctx context.Context, a Address) (Link, error) {
	dialer := net.Dialer{KeepAliveConfig: keepAlive}
	conn, err := dialer.DialContext(ctx, "tcp", net.JoinHostPort(a.Host, strconv.Itoa(a.Port)))
	if err != nil {
		return nil, err
	}
	return &stream{address: a.String(), in: conn, out: conn}, nil
}
