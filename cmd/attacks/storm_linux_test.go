package attacks_test

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

// mostMemory is what the daemon may hold at most under all attacks at once. Its
// service ends it at twice that.
const mostMemory = 512 << 20

// Devices that answer late and twice, hostile requests, event streams, files that hang
// or are wrong, and a take that is recorded beside them, all at once: the daemon
// answers, holds little memory, and what it said that it took is there after a kill.
// BAYHAND_ATTACKS says for how long, such as 10m; then there are also devices that
// answer half and never.
func TestAllAtOnce(t *testing.T) {
	length := 3 * time.Second
	matrices := []string{"grid", "late", "twice"}
	if given := os.Getenv("BAYHAND_ATTACKS"); given != "" {
		var err error
		length, err = time.ParseDuration(given)
		must(t, err)
		matrices = append(matrices, "half", "never")
	}
	r := newRoom(t, matrices...)
	client := r.start()
	free := r.stall("sessions/stalled.yaml")
	calm := r.measure(client, length/3, nil)
	storm := r.measure(client, length, []attack{hostileRequests, halfConnections, streams, oddFiles, wrongFile, recording})
	t.Logf("before: %v\nunder all attacks: %v", calm, storm)
	if storm.memory > mostMemory {
		t.Errorf("it held %d MB", storm.memory>>20)
	}
	if storm.taken == "" || storm.asked == 0 {
		t.Fatal("nothing was asked")
	}
	r.end(syscall.SIGKILL)
	client = r.start()
	status, err := client.Status(t.Context())
	must(t, err)
	if status.Session != storm.taken {
		t.Errorf("after a kill it is in %s, and %s was taken", status.Session, storm.taken)
	}
	r.end(syscall.SIGTERM) // with the file still stalled
	free()
}

// attack goes on until the context ends; it asks what it can of the daemon at an
// address, and counts.
type attack func(ctx context.Context, r *room, c *serve.Client, count *atomic.Int64)

// measured is how the daemon fared.
type measured struct {
	asked  int
	attack int64
	// median and most are the times from a question for the status to its answer.
	median, most time.Duration
	memory       int
	// taken is the session that the daemon said last that it took.
	taken string
}

func (m measured) String() string {
	return fmt.Sprintf("%d attacks; %d questions answered, in %v, %v at most; %d MB held at most, %s taken", m.attack, m.asked, m.median, m.most, m.memory>>20, m.taken)
}

// measure asks for the status and recalls sessions in turn for a while, under
// attacks.
func (r *room) measure(c *serve.Client, length time.Duration, attacks []attack) measured {
	r.t.Helper()
	ctx, stop := context.WithTimeout(context.Background(), length)
	defer stop()
	var all sync.WaitGroup
	var count atomic.Int64
	for _, a := range attacks {
		all.Go(func() { a(ctx, r, c, &count) })
	}
	var m measured
	all.Go(func() { m.taken = r.recalls(ctx, c) })
	m.asked, m.median, m.most = r.asks(ctx, c)
	all.Wait()
	m.attack, m.memory = count.Load(), r.memory()
	return m
}

// asks asks for the status again and again, each of which has an answer.
func (r *room) asks(ctx context.Context, c *serve.Client) (asked int, median, most time.Duration) {
	var times []time.Duration
	for len(times) == 0 || ctx.Err() == nil {
		begun := time.Now()
		within, stop := context.WithTimeout(context.Background(), tooLong)
		_, err := c.Status(within)
		stop()
		if err != nil {
			r.t.Errorf("the status: %v\n%s", err, r.said)
			return len(times), 0, 0
		}
		times = append(times, time.Since(begun))
		select {
		case <-time.After(20 * time.Millisecond):
		case <-ctx.Done():
		}
	}
	slices.Sort(times)
	return len(times), times[len(times)/2], times[len(times)-1]
}

// recalls recalls the two sessions in turn, and gives the one that was taken last. A
// device that does not answer is in the answer, and takes nothing back.
func (r *room) recalls(ctx context.Context, c *serve.Client) (taken string) {
	for n := 0; ctx.Err() == nil || taken == ""; n++ {
		within, stop := context.WithTimeout(context.Background(), tooLong)
		session := []string{"first", "second"}[n%2]
		got, err := c.Act(within, keep.Act{Do: keep.ToRecall, Session: session})
		stop()
		if err != nil || got.Status.Session != session {
			r.t.Errorf("a recall: %v", err)
			return taken
		}
		taken = session
	}
	return taken
}

// memory is the most that the daemon's process has held (proc(5), VmHWM), in bytes.
func (r *room) memory() int {
	r.t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", r.daemon.Process.Pid))
	must(r.t, err)
	_, after, _ := strings.Cut(string(text), "VmHWM:")
	kilobytes, err := strconv.Atoi(strings.Fields(after)[0])
	must(r.t, err)
	return kilobytes << 10
}
