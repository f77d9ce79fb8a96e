package etcd

import (
	"context"
	"errors"
	"net"
	"testing"
	"time"

	"bayhand/recall/border"
	"bayhand/simulators/loopback"
)

// A question waits for an election, which is where some servers are there though they do
// not answer; not where nobody is, or where the only server is silent.
func TestNobodyIsWaitedFor(t *testing.T) {
	t.Parallel()
	closed, err := loopback.Free()
	if err != nil {
		t.Fatal(err)
	}
	silent, err := net.Listen("tcp", "127.0.0.1:0") // it takes a question and says nothing
	if err != nil {
		t.Fatal(err)
	}
	defer silent.Close()
	gone, there := "http://"+closed, "http://"+silent.Addr().String()
	for _, c := range []struct {
		servers []string
		waits   bool
	}{
		{[]string{gone}, false},
		{[]string{gone, gone, gone}, false},
		{[]string{there}, false},
		{[]string{gone, there, gone}, true},
	} {
		b, err := New(Options{House: "waits", Servers: c.servers, Try: 50 * time.Millisecond, Patience: time.Hour})
		if err != nil {
			t.Fatal(err)
		}
		b.servers.grace = time.Millisecond
		ctx, stop := context.WithTimeout(t.Context(), map[bool]time.Duration{true: time.Second, false: time.Minute}[c.waits])
		_, err = b.View(ctx)
		if !errors.Is(err, border.ErrUnreached) || (ctx.Err() != nil) != c.waits {
			t.Errorf("%v: %v; waited until it was told to end: %v", c.servers, err, ctx.Err() != nil)
		}
		stop()
		b.Close()
	}
}
