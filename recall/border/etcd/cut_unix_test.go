//go:build unix

package etcd

import (
	"bytes"
	"context"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/anishathalye/porcupine"

	"bayhand/recall/border"
	"bayhand/recall/border/histories"
)

// lossy is the way to a server on which every third request is lost, or its answer is:
// then it was carried out, and whoever asked does not know.
type lossy struct {
	to    *httputil.ReverseProxy
	count atomic.Uint64
	// healed has all through.
	healed atomic.Bool
	// shut has none through.
	shut atomic.Bool
	lost atomic.Uint64
	// after, if not nil, says of which request the answer is lost, before then is called.
	after func(body []byte) bool
	then  func()
}

func newLossy(t testing.TB, server string) (*lossy, string) {
	at, err := url.Parse(server)
	if err != nil {
		t.Fatal(err)
	}
	l := &lossy{to: httputil.NewSingleHostReverseProxy(at)}
	l.to.ErrorLog = log.New(io.Discard, "", 0)
	s := httptest.NewServer(l)
	t.Cleanup(s.Close)
	return l, s.URL
}

// ServeHTTP loses a request before it arrives, or its answer, by breaking the connection.
func (l *lossy) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if l.after != nil {
		l.loseAfter(w, r)
		return
	}
	if l.shut.Load() {
		panic(http.ErrAbortHandler)
	}
	n := l.count.Add(1)
	if l.healed.Load() || n%3 > 0 {
		l.to.ServeHTTP(w, r)
		return
	}
	l.lost.Add(1)
	if n%2 == 0 {
		l.to.ServeHTTP(nowhere{}, r) // carried out
	} else {
		_, _ = io.Copy(io.Discard, r.Body)
	}
	panic(http.ErrAbortHandler) // the connection breaks
}

// loseAfter has all through, and loses the answers that after names.
func (l *lossy) loseAfter(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		panic(http.ErrAbortHandler)
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	if !l.after(body) {
		l.to.ServeHTTP(w, r)
		return
	}
	l.to.ServeHTTP(nowhere{}, r)
	l.then()
	panic(http.ErrAbortHandler)
}

// nowhere takes an answer that nobody hears.
type nowhere struct{}

func (nowhere) Header() http.Header         { return http.Header{} }
func (nowhere) Write(b []byte) (int, error) { return len(b), nil }
func (nowhere) WriteHeader(int)             {}

// Rooms whose requests and answers are lost act as one table all the same: what was
// carried out and not answered is found so, and nothing is done twice.
func TestAnswersAreLost(t *testing.T) {
	c := begin(t, 1)
	r := histories.New("tie 1", "tie 2", "tie 3")
	people := histories.People{Acts: 25 * rounds(t), Seed: 11}
	var ways []*lossy
	for range 4 {
		way, address := newLossy(t, c.servers()[0])
		b := at(t, "lost", address)
		b.options.Patience = 20 * time.Second
		ways, people.Borders = append(ways, way), append(people.Borders, b)
	}
	people.Do(t.Context(), r)
	lost := uint64(0)
	for _, way := range ways {
		lost += way.lost.Load()
		way.healed.Store(true)
	}
	answered, unknown := r.Count()
	t.Logf("%d acts answered, %d not known, %d requests or answers lost", answered, unknown, lost)
	if lost == 0 {
		t.Error("nothing was lost")
	}
	if got := r.Check(time.Minute); got != porcupine.Ok {
		t.Errorf("the history is %s", got)
	}
	allAgree(t, people.Borders)
}

// A place is taken away, the answer is lost, and the room claims it again before the
// question comes a second time: it keeps it.
func TestLostAnswerOfAPerson(t *testing.T) {
	c := begin(t, 1)
	room := at(t, "person", c.servers()[0])
	act(t, room, claim("mix", 1, "tie 1"), nil)
	way, address := newLossy(t, c.servers()[0])
	way.healed.Store(true)
	way.after = func(body []byte) bool {
		return bytes.Contains(body, []byte(`"success"`)) && way.lost.Add(1) == 1
	}
	way.then = func() { act(t, room, claim("mix", 2, "tie 1"), nil) }
	taking := border.Act{Do: border.ToTakeAway, Room: "mix", By: "Ada", Mark: "1", Places: []border.Place{"tie 1"}}
	view := act(t, at(t, "person", address), taking, nil)
	if way.lost.Load() < 1 || len(view.Table.Takings) != 1 || view.Table.Holds["tie 1"].Number != 2 {
		t.Errorf("after %d transactions: %+v", way.lost.Load(), view.Table)
	}
}

// allAgree holds the tables that several hosts see against each other.
func allAgree(t *testing.T, all []border.Border) {
	t.Helper()
	var first border.View
	for i, b := range all {
		view, err := b.View(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = view
		}
		if view.Table.Revision != first.Table.Revision || len(view.Table.Holds) != len(first.Table.Holds) {
			t.Errorf("hosts see revisions %d and %d", first.Table.Revision, view.Table.Revision)
		}
	}
}

// BenchmarkClaim is a claim and a release by turns, with one server and with three.
func BenchmarkClaim(b *testing.B) {
	for _, size := range []int{1, 3} {
		b.Run(map[int]string{1: "one server", 3: "three servers"}[size], func(b *testing.B) {
			c := begin(b, size)
			one := at(b, "bench", c.servers()...)
			a := claim("mix", 0, "tie 1")
			var took []time.Duration
			for b.Loop() {
				began := time.Now()
				a.Number++
				a.Do = border.ToClaim
				if a.Number%2 == 0 {
					a.Do = border.ToRelease
				}
				act(b, one, a, nil)
				took = append(took, time.Since(began))
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "ms-at-99%")
		})
	}
}
