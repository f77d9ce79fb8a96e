package page

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// counted is a planner that counts its work, and works until it is let go.
type counted struct {
	made, beside, most atomic.Int32
	leave              chan struct{}
}

func (c *counted) plan(ctx context.Context, _ plan.Request) (*plan.Plan, error) {
	c.made.Add(1)
	now := c.beside.Add(1)
	defer c.beside.Add(-1)
	if now > c.most.Load() {
		c.most.Store(now)
	}
	select {
	case <-c.leave:
		return &plan.Plan{Given: true}, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// askingFor is the question for the way to a session without a line, from a patch.
func askingFor(t *testing.T, room *studio.Studio, called string, from patch.Patch) keep.Preview {
	t.Helper()
	var known keep.Known
	for _, c := range from.Cords {
		known.Cords = append(known.Cords, keep.KnownCord{Cord: c})
	}
	for _, d := range from.Dummies {
		known.Dummies = append(known.Dummies, keep.KnownDummy{Jack: d})
	}
	ask, err := keep.NewPreview(room, keep.Status{Known: known}, called, keep.RecallOptions{}, func(string) *session.Session { return &session.Session{Name: called} })
	if err != nil {
		t.Fatal(err)
	}
	return ask
}

// Forty look at a session: its way is worked out once, and once more when the room
// is another; ways of several sessions one after the other.
func TestOneWayForAllWhoLook(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := &counted{leave: make(chan struct{})}
		var told atomic.Int64
		w := newWays(c.plan, func() { told.Add(1) })
		room := boathouse(t)
		look := func(called string, from patch.Patch) *sync.WaitGroup {
			var all sync.WaitGroup
			for range 40 {
				all.Go(func() {
					if _, err, ready := w.to(t.Context(), called, askingFor(t, room, called, from)); err != nil || !ready {
						t.Errorf("%s: %v, %v", called, err, ready)
					}
				})
			}
			return &all
		}
		one, two := look("one", patch.Patch{}), look("two", patch.Patch{})
		synctest.Wait()
		if n := c.made.Load(); n != 1 {
			t.Errorf("%d are worked out beside each other", n)
		}
		close(c.leave)
		one.Wait()
		two.Wait()
		again := look("one", patch.Patch{})
		again.Wait()
		other := look("one", patch.Patch{Cords: []patch.Cord{{A: at(t, "main/t1")[0], B: at(t, "main/b2")[0]}}})
		other.Wait()
		synctest.Wait()
		if c.made.Load() != 3 || c.most.Load() != 1 || told.Load() != 3 {
			t.Errorf("%d were worked out, %d at most beside each other, %d told", c.made.Load(), c.most.Load(), told.Load())
		}
	})
}

// A way that takes too long is no way, and is tried again after a while; one from a
// patch that is not there any more is stopped; few are remembered.
func TestWaysEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		c := &counted{leave: make(chan struct{})}
		w := newWays(c.plan, func() {})
		room := boathouse(t)
		ask := askingFor(t, room, "one", patch.Patch{})
		if _, err, _ := w.to(t.Context(), "one", ask); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("too long: %v", err)
		}
		if _, err, _ := w.to(t.Context(), "one", ask); !errors.Is(err, context.DeadlineExceeded) || c.made.Load() != 1 {
			t.Errorf("at once again: %v, %d times", err, c.made.Load())
		}
		after, stop := keep.SystemClock{}.Timer(tryAgain)
		<-after
		stop()
		moved := askingFor(t, room, "one", patch.Patch{Dummies: at(t, "main/t1")})
		first, err := w.of("one", ask)
		if err != nil {
			t.Fatal(err)
		}
		synctest.Wait()
		if _, err := w.of("one", moved); err != nil {
			t.Fatal(err)
		}
		<-first.done
		if !errors.Is(first.err, context.Canceled) {
			t.Errorf("from the patch before: %v", first.err)
		}
		for n := range 3 * mostWays {
			if _, err := w.of(fmt.Sprint("s", n), ask); err != nil {
				t.Fatal(err)
			}
		}
		if len(w.known) > mostWays {
			t.Errorf("%d ways are remembered", len(w.known))
		}
		close(c.leave)
		synctest.Wait()
	})
}

// A session whose way takes long is shown at once, and says so.
func TestSessionIsShownAtOnce(t *testing.T) {
	c := &counted{leave: make(chan struct{})}
	defer close(c.leave)
	f := &fake{status: status(t)}
	h := New(Options{
		Room: f, Studio: boathouse(t), Plan: c.plan,
		Names: func(context.Context) ([]string, error) { return []string{"slow"}, nil },
		Session: func(context.Context, string) (Listed, error) {
			return Listed{Name: "slow", Session: &session.Session{Name: "slow"}}, nil
		},
	})
	answer, html := get(t, h, "/sessions/slow")
	if answer.StatusCode != http.StatusOK || !strings.Contains(html, "Planning. The preview") || strings.Contains(html, `data-still="yes"`) {
		t.Errorf("%s:\n%s", answer.Status, html)
	}
}

// Of thousands of sessions those that are shown are read, and it is said how many
// there are beside.
func TestThousandsOfSessions(t *testing.T) {
	var names []string
	for n := range 10_000 {
		names = append(names, fmt.Sprintf("s%05d", n))
	}
	read := 0
	h := New(Options{
		Room: &fake{status: status(t)}, Studio: boathouse(t),
		Names: func(context.Context) ([]string, error) { return names, nil },
		Session: func(_ context.Context, called string) (Listed, error) {
			read++
			return Listed{Name: called, Session: &session.Session{Name: called}}, nil
		},
	})
	_, html := get(t, h, "/sessions")
	if read > mostListed || !strings.Contains(html, "And 9800 more") || !strings.Contains(html, ">10000<") {
		t.Errorf("%d were read", read)
	}
	if _, html = get(t, h, "/sessions?find=s0999"); !strings.Contains(html, "10 of 10000 have it") || strings.Contains(html, "more. Find") {
		t.Error("ten of them have the word")
	}
	read = 0
	if get(t, h, "/"); read > 2 {
		t.Errorf("the bay read %d sessions", read)
	}
}
