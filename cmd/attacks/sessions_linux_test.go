package attacks_test

import (
	"context"
	"fmt"
	"os"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"bayhand/recall/keep"
)

// A room with thousands of sessions starts, follows the one that is saved, and rests in
// between. BAYHAND_SESSIONS says how many, such as 10000; the figures are logged.
func TestThousandsOfSessions(t *testing.T) {
	sessions, idle := 500, time.Second
	if given := os.Getenv("BAYHAND_SESSIONS"); given != "" {
		var err error
		sessions, err = strconv.Atoi(given)
		must(t, err)
		idle = 40 * time.Second // a look without a cause is among them
	}
	r := newRoom(t, "grid")
	for n := range sessions {
		r.put(fmt.Sprintf("sessions/more-%d.yaml", n), sessionText("More", 1, n%4))
	}
	begun := time.Now()
	client := r.start()
	started := time.Since(begun)
	_, err := client.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "more-0"})
	must(t, err)
	r.hears("ROUT:CLOS (")
	r.rests()
	// As an editor that has it open: with the patch that was kept in it, so that it
	// becomes no smaller, which would be waited for.
	now, err := os.ReadFile(r.at("sessions/more-0.yaml"))
	must(t, err)
	begun = time.Now()
	r.put("sessions/more-0.yaml", strings.Replace(string(now), "out1 -> interface/in1", "out2 -> interface/in1", 1))
	r.hears("ROUT:")
	followed := time.Since(begun)
	r.rests()
	was := r.worked()
	r.restful(idle)
	t.Logf("%d sessions: ready after %v, a saved session is sent after %v, idle it takes %.2f %% of a core, %d MB held at most",
		sessions, started, followed, 100*float64(r.worked()-was)/float64(idle), r.memory()>>20)
	status, err := client.Status(t.Context())
	must(t, err)
	if status.Session != "more-0" || len(status.Problems) > 0 {
		t.Errorf("it is in %s, and says %+v", status.Session, status.Problems)
	}
	r.end(syscall.SIGTERM)
}

// restful lets a while pass in which nobody asks anything.
func (r *room) restful(while time.Duration) {
	select {
	case <-time.After(while):
	case err := <-r.ended:
		r.t.Fatalf("the daemon ended: %v\n%s", err, r.said)
	}
}

// rests waits until the daemon has nothing to do: it looks at all sessions once at the
// start, for what the page says of them.
func (r *room) rests() {
	r.t.Helper()
	r.until("the daemon rests", func(context.Context) bool {
		was := r.worked()
		r.restful(time.Second)
		return r.worked()-was <= 50*time.Millisecond
	})
}

// worked is the time of a processor that the daemon has taken (proc(5), utime and
// stime, in hundredths of a second).
func (r *room) worked() time.Duration {
	r.t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", r.daemon.Process.Pid))
	must(r.t, err)
	fields := strings.Fields(string(text[strings.LastIndex(string(text), ")")+1:]))
	var all time.Duration
	for _, field := range fields[11:13] {
		ticks, err := strconv.Atoi(field)
		must(r.t, err)
		all += time.Duration(ticks) * 10 * time.Millisecond
	}
	return all
}
