package serve

import (
	"errors"
	"io"
	"net"
	"net/http"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/time/rate"

	"bayhand/recall/web"
)

// Whoever opens more connections than one machine may have, and says nothing or half
// of a request, loses the oldest of them; whoever is being answered stays, and others
// are answered.
func TestConnectionsAreBounded(t *testing.T) {
	s := serving(t, Options{})
	s.room.answers(whole(), nil)
	events, err := s.client.Events(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var all []net.Conn
	defer func() {
		for _, conn := range all {
			conn.Close()
		}
	}()
	for n := range connectionsOfEach + 50 {
		conn, err := net.Dial("tcp", strings.TrimPrefix(s.server.Address(), "http://"))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, conn)
		if n%2 == 0 {
			if _, err := io.WriteString(conn, "GET / HTTP/1.1\r\nHost: "); err != nil {
				t.Fatal(err)
			}
		}
	}
	if _, err := s.client.Status(t.Context()); err != nil {
		t.Errorf("among %d silent connections: %v", len(all), err)
	}
	if open := s.server.connections.count(); open > connectionsOfEach {
		t.Errorf("%d connections are open", open)
	}
	_ = all[0].SetReadDeadline(time.Now().Add(time.Minute))
	if _, err := all[0].Read(make([]byte, 1)); err == nil || errors.Is(err, net.ErrClosed) || isTimeout(err) {
		t.Errorf("the oldest was not closed: %v", err)
	}
	select {
	case _, open := <-events:
		if !open {
			t.Error("the stream of somebody else was closed")
		}
	default:
	}
}

func isTimeout(err error) bool {
	var late net.Error
	return errors.As(err, &late) && late.Timeout()
}

func (c *connections) count() int {
	c.mu.Lock()
	defer c.mu.Unlock()
	return len(c.open)
}

// Requests of other sites are counted, and take nothing from what the person may ask
// in whose browser they are made.
func TestForeignRequestsAreCounted(t *testing.T) {
	s := serving(t, Options{})
	s.room.answers(whole(), nil)
	// Nothing drips in, so that a machine on which each request takes long counts as many.
	never := &machine{asks: rate.NewLimiter(0, foreignAtOnce), tries: rate.NewLimiter(0, 0), strange: rate.NewLimiter(0, foreignAtOnce)}
	s.server.limits.mu.Lock()
	s.server.limits.machines = map[string]*machine{"loopback ": never, "loopback " + strconv.Itoa(os.Getuid()): never}
	s.server.limits.mu.Unlock()
	told := map[int]int{}
	for range 2 * foreignAtOnce {
		status, _ := s.send(t, request{method: "GET", path: "/api/status", host: "evil.example"})
		told[status]++
	}
	if told[http.StatusForbidden] != foreignAtOnce || told[http.StatusTooManyRequests] != foreignAtOnce {
		t.Errorf("they were answered %v", told)
	}
	if _, err := s.client.Status(t.Context()); err != nil {
		t.Errorf("the person's own: %v", err)
	}
}

// The streams of the page and those of the API are counted together.
func TestStreamsOfThePageAreBounded(t *testing.T) {
	s := serving(t, Options{Page: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		stream, err := web.Begin(w, r)
		if err != nil {
			http.Error(w, err.Error(), http.StatusServiceUnavailable)
			return
		}
		defer stream.End()
		<-r.Context().Done()
	})})
	ask := func() *http.Response {
		q, err := http.NewRequestWithContext(t.Context(), "GET", s.server.Address()+"/changes", nil)
		if err != nil {
			t.Fatal(err)
		}
		q.Header.Set("Authorization", "Bearer "+s.server.Token())
		got, err := s.client.http.Do(q)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { got.Body.Close() })
		return got
	}
	if _, err := s.client.Events(t.Context()); err != nil {
		t.Fatal(err)
	}
	for n := 1; n < streamsOfEach; n++ {
		if got := ask(); got.StatusCode != http.StatusOK {
			t.Fatalf("the stream %d: %s", n, got.Status)
		}
	}
	if got := ask(); got.StatusCode != http.StatusServiceUnavailable {
		t.Errorf("one more: %s", got.Status)
	}
}
