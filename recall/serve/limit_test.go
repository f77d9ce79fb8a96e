package serve

import (
	"errors"
	"net/http"
	"strings"
	"testing"

	"golang.org/x/time/rate"
)

// free is a machine that may ask as often as it likes.
func free() *machine {
	return &machine{asks: rate.NewLimiter(rate.Inf, 0), tries: rate.NewLimiter(rate.Inf, 0), strange: rate.NewLimiter(rate.Inf, 0)}
}

func TestRateOfRequests(t *testing.T) {
	s := serving(t, Options{})
	s.room.answers(whole(), nil)
	refused := 0
	for range 2 * atOnce {
		if status, body := s.send(t, request{method: "GET", path: "/health"}); status == http.StatusTooManyRequests {
			refused++
			if !strings.Contains(body, `"code":"busy"`) {
				t.Fatal(body)
			}
		}
	}
	// However slow the machine: the bucket that is empty lets through what drips in.
	var l limits
	let := 0
	for range 10 * atOnce {
		if l.ask("a") {
			let++
		}
	}
	if let < atOnce || let == 10*atOnce || !l.ask("b") {
		t.Errorf("%d of %d were let through; and over the wire %d were refused", let, 10*atOnce, refused)
	}
}

// Each machine and all of them may have so many streams; one that ends makes room.
func TestStreamsAreBounded(t *testing.T) {
	var l limits
	var ends []func()
	open := func(host string, n int) (opened int) {
		for range n {
			if done, ok := l.stream(host); ok {
				ends = append(ends, done)
				opened++
			}
		}
		return opened
	}
	if n := open("a", 2*streamsOfEach); n != streamsOfEach {
		t.Errorf("one machine has %d streams", n)
	}
	for _, host := range []string{"b", "c", "d", "e"} {
		open(host, streamsOfEach)
	}
	if len(ends) != streamsInAll {
		t.Errorf("%d streams in all", len(ends))
	}
	ends[0]()
	if n := open("f", 2); n != 1 {
		t.Errorf("after one ended %d more were opened", n)
	}
}

// Over the wire a stream too many is refused, and says so.
func TestStreamTooMany(t *testing.T) {
	s := serving(t, Options{})
	for range streamsOfEach {
		if _, err := s.client.Events(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	_, err := s.client.Events(t.Context())
	var remote *RemoteError
	if !errors.As(err, &remote) || remote.Code != "busy" {
		t.Errorf("one more: %v", err)
	}
}

func TestMachinesAreForgotten(t *testing.T) {
	var l limits
	done, _ := l.stream("streams")
	defer done()
	for n := range 3 * mostMachines {
		l.ask(string(rune('a'+n%26)) + strings.Repeat("x", n/26))
	}
	if len(l.machines) > mostMachines || l.machines["streams"] == nil {
		t.Errorf("%d machines are remembered, the one with a stream: %v", len(l.machines), l.machines["streams"] != nil)
	}
}
