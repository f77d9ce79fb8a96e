package attacks_test

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"bayhand/recall/serve"
)

// hostileRequests asks for what nobody should: other methods, paths out of the
// house, headers that lie, tokens that are none, bodies without an end.
func hostileRequests(ctx context.Context, _ *room, c *serve.Client, count *atomic.Int64) {
	draw := rand.New(rand.NewPCG(13, 0))
	methods := []string{"GET", "POST", "PUT", "DELETE", "OPTIONS", "TRACE", "BREW"}
	paths := []string{"/", "/api/status", "/api/act", "/api/prune", "/api/invite", "/api/history?limit=99999999", "/sessions/..%2f..%2fetc%2fpasswd",
		"/sessions/first", "/files", "/paper/recall/%00", "/page/../../x", "/do", "/metrics", "/enter?then=/%09/evil", "/" + strings.Repeat("a", 5000)}
	client := &http.Client{Timeout: tooLong, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	defer client.CloseIdleConnections()
	for ctx.Err() == nil {
		var body io.Reader
		if draw.IntN(4) == 0 {
			body = io.LimitReader(endless{}, 1<<20)
		}
		q, err := http.NewRequestWithContext(ctx, methods[draw.IntN(len(methods))], c.Address()+paths[draw.IntN(len(paths))], body)
		if err != nil {
			continue
		}
		q.Header.Set("Authorization", "Bearer "+fmt.Sprint(draw.Uint64()))
		q.Header.Set("X-Forwarded-For", "127.0.0.1")
		q.Header.Set("Origin", "https://evil.example")
		q.Header.Set("Cookie", "bayhand="+strings.Repeat("f", draw.IntN(3000)))
		if got, err := client.Do(q); err == nil {
			_, _ = io.Copy(io.Discard, io.LimitReader(got.Body, 1<<20))
			got.Body.Close()
		}
		count.Add(1)
	}
}

// endless is a body without an end.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '{'
	}
	return len(p), nil
}

// halfConnections are opened, and say half of a request.
func halfConnections(ctx context.Context, _ *room, c *serve.Client, count *atomic.Int64) {
	address := strings.TrimPrefix(c.Address(), "http://")
	var open []net.Conn
	defer func() {
		for _, conn := range open {
			conn.Close()
		}
	}()
	for range 50 {
		conn, err := net.Dial("tcp", address)
		if err != nil {
			return
		}
		open = append(open, conn)
		_, _ = io.WriteString(conn, "POST /api/act HTTP/1.1\r\nHost: x\r\nContent-Length: 1000000\r\n\r\n{")
		count.Add(1)
	}
	<-ctx.Done()
}

// streams are more event streams than a machine may have, by who may have them and by
// others; none is read.
func streams(ctx context.Context, r *room, c *serve.Client, count *atomic.Int64) {
	entry := r.entry()
	var all sync.WaitGroup
	for n := range 200 {
		all.Go(func() {
			path := []string{"/api/events", "/changes"}[n%2]
			q, err := http.NewRequestWithContext(ctx, "GET", c.Address()+path, nil)
			if err != nil {
				return
			}
			if n%4 < 2 {
				q.Header.Set("Authorization", "Bearer "+entry.Token)
			}
			got, err := (&http.Transport{}).RoundTrip(q)
			if err != nil {
				return
			}
			defer got.Body.Close()
			count.Add(1)
			<-ctx.Done()
		})
	}
	all.Wait()
}

// every does something again and again until the context ends.
func every(ctx context.Context, pause time.Duration, do func(n int)) {
	for n := 0; ; n++ {
		do(n)
		select {
		case <-time.After(pause):
		case <-ctx.Done():
			return
		}
	}
}
