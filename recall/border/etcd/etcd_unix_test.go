//go:build unix

package etcd

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/anishathalye/porcupine"

	"bayhand/model/house"
	"bayhand/recall/border"
	"bayhand/recall/border/histories"
)

// at is a border of a house in servers, with the patience of a test.
func at(t testing.TB, house string, servers ...string) *Border {
	t.Helper()
	b, err := New(Options{House: house, Servers: servers, Patience: 5 * time.Minute, Pulse: 100 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(b.Close)
	return b
}

func claim(room string, number uint64, places ...border.Place) border.Act {
	return border.Act{Do: border.ToClaim, Room: room, Number: number, Session: "take", Places: places, At: time.Unix(0, 0)}
}

func act(t testing.TB, b border.Border, a border.Act, want error) border.View {
	t.Helper()
	view, err := b.Act(t.Context(), a)
	if !errors.Is(err, want) || (err == nil) != (want == nil) {
		t.Errorf("%+v: got %v, want %v", a, err, want)
	}
	return view
}

// One server serves several tests, each with a house of its own.
func TestOneServer(t *testing.T) {
	c := begin(t, 1)
	server := c.servers()[0]
	t.Run("two hosts", func(t *testing.T) { twoHosts(t, server) })
	t.Run("watch", func(t *testing.T) { watches(t, server) })
	t.Run("files", func(t *testing.T) { otherFiles(t, server) })
	t.Run("format", func(t *testing.T) { otherFormat(t, server) })
	t.Run("cluster", func(t *testing.T) { otherTable(t, server) })
	t.Run("history", func(t *testing.T) { history(t, "history", []string{server}, nil) })
	t.Run("stopped and gone on", func(t *testing.T) { goesOn(t, c) })
}

func twoHosts(t *testing.T, server string) {
	north, south := at(t, "two", server), at(t, "two", server)
	act(t, north, claim("mix", 1, "tie 1", "tie 2"), nil)
	act(t, south, claim("live", 1, "tie 2", "tie 3"), border.ErrHeld)
	act(t, north, claim("mix", 1, "tie 1", "tie 2"), nil)
	act(t, north, border.Act{Do: border.ToRelease, Room: "mix", Number: 2, Places: []border.Place{"tie 2"}}, nil)
	view := act(t, south, claim("live", 2, "tie 2", "tie 3"), nil)
	if got := view.Table.Held("live"); !slices.Equal(got, []border.Place{"tie 2", "tie 3"}) {
		t.Errorf("live holds %v", got)
	}
	view = act(t, north, border.Act{Do: border.ToTakeAway, Room: "live", By: "Ada", Mark: "first", Places: []border.Place{"tie 3"}}, nil)
	if len(view.Table.Takings) != 1 || view.Table.Takings[0].From.Room != "live" {
		t.Errorf("the history has %+v", view.Table.Takings)
	}
	act(t, south, claim("live", 2, "tie 2", "tie 3"), border.ErrLost)
	act(t, south, claim("live", 1, "tie 1"), border.ErrLate)
}

func watches(t *testing.T, server string) {
	north, south := at(t, "watch", server), at(t, "watch", server)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error)
	go func() { ended <- south.Run(ctx) }()
	views := south.Watch(ctx)
	act(t, north, claim("mix", 1, "tie 1"), nil)
	if err := north.Announce(ctx, border.Announcement{Room: "mix", Host: "north", Session: "take", Phase: "given"}); err != nil {
		t.Fatal(err)
	}
	for v := range views {
		if v.Cut == nil && v.Table.Holds["tie 1"].Room == "mix" && len(v.Announced) == 1 && v.Announced[0].Host == "north" {
			break
		}
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

func otherFiles(t *testing.T, server string) {
	b := at(t, "files", server)
	first, other := claim("mix", 1, "tie 1"), claim("live", 1, "tie 2")
	first.Files, other.Files = "aaaa", "bbbb"
	act(t, b, first, nil)
	act(t, b, other, border.ErrFiles)
	act(t, b, border.Act{Do: border.ToAdopt, Files: "bbbb", By: "Ada", Mark: "first"}, nil)
	act(t, b, other, nil)

	duties := map[string]house.Duties{"north": {Rooms: []string{"live"}}}
	act(t, b, border.Act{Do: border.ToEnter, Host: "north", Files: "bbbb", House: "cccc", Duties: duties, Mark: "its daemon", Machine: "n1"}, nil)
	view, err := at(t, "files", server).View(t.Context())
	if err != nil || !reflect.DeepEqual(view.Table.Files.Duties, duties) || view.Table.Hosts["north"].Machine != "n1" {
		t.Errorf("another host sees %+v, %+v (%v)", view.Table.Files, view.Table.Hosts, err)
	}
	other.Number, other.House = 2, "dddd"
	act(t, b, other, border.ErrFiles)
}

func otherFormat(t *testing.T, server string) {
	b := at(t, "format", server)
	put := operation{Put: &putQuestion{Key: []byte("bayhand/format/table"), Value: []byte(`{"format": 2, "identity": "x"}`)}}
	if err := b.servers.ask(t.Context(), txnPath, transaction{Success: []operation{put}}, &outcome{}); err != nil {
		t.Fatal(err)
	}
	view := act(t, b, claim("mix", 1, "tie 1"), border.ErrFormat)
	if view.Cut == nil || !strings.Contains(view.Cut.Why, "format 2") {
		t.Errorf("%+v", view.Cut)
	}
}

// A host that has claims in a table is not content with another one, nor with none.
func otherTable(t *testing.T, server string) {
	first := at(t, "here", server)
	act(t, first, claim("mix", 1, "tie 1"), nil)
	for _, house := range []string{"here", "empty"} {
		b := at(t, house, server)
		b.table = "another"
		act(t, b, claim("live", 1, "tie 2"), ErrCluster)
	}
	again := at(t, "here", server)
	again.table = first.Identity()
	act(t, again, claim("live", 1, "tie 2"), nil)
}

// A table is as it was after its only server was killed.
func goesOn(t *testing.T, c *cluster) {
	b := at(t, "goes-on", c.servers()...)
	act(t, b, claim("mix", 1, "tie 1"), nil)
	c.kill(c.members[0])
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if view, err := b.View(ctx); !errors.Is(err, context.Canceled) || view.Cut != nil {
		t.Errorf("nobody waited: %v, %+v", err, view)
	}
	b.options.Patience = 50 * time.Millisecond
	if view, err := b.View(t.Context()); !errors.Is(err, border.ErrUnreached) || view.Cut == nil || view.Table.Holds["tie 1"].Room != "mix" {
		t.Errorf("cut off: %v, %+v", err, view)
	}
	b.options.Patience = 5 * time.Minute
	c.start(c.members[0])
	act(t, b, claim("live", 1, "tie 1"), border.ErrHeld)
}

// history has rooms act at their own borders while things happen to the servers.
func history(t *testing.T, house string, servers []string, meanwhile func(context.Context)) {
	r := histories.New("tie 1", "tie 2", "tie 3")
	people := histories.People{Acts: 25 * rounds(t), Seed: 7}
	for i := range 4 {
		people.Borders = append(people.Borders, at(t, house, append(slices.Clone(servers[i%len(servers):]), servers[:i%len(servers)]...)...))
	}
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		if meanwhile != nil {
			meanwhile(ctx)
		}
	}()
	people.Do(t.Context(), r)
	stop()
	<-done
	answered, unknown := r.Count()
	t.Logf("%d acts answered, %d not known", answered, unknown)
	if got := r.Check(time.Minute); got != porcupine.Ok {
		t.Errorf("the history is %s", got)
	}
}

// rounds is how long a history is: 1, or BAYHAND_BORDER.
func rounds(t testing.TB) int {
	text := os.Getenv("BAYHAND_BORDER")
	if text == "" {
		return 1
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatal("BAYHAND_BORDER is a number of rounds")
	}
	return n
}

// Of three servers each dies once and is stopped once, the leader first; no answer is
// other than that of one table.
func TestThreeServers(t *testing.T) {
	c := begin(t, 3)
	b := at(t, "three", c.servers()...)
	act(t, b, claim("mix", 1, "tie 1"), nil)
	leader := c.leader()
	c.kill(c.members[leader])
	act(t, b, claim("mix", 2, "tie 2"), nil)
	c.start(c.members[leader])
	leader = c.leader()
	c.signal(c.members[leader], syscall.SIGSTOP)
	act(t, b, claim("mix", 3, "tie 3"), nil)
	c.signal(c.members[leader], syscall.SIGCONT)
	c.leader()
	history(t, "history", c.servers(), func(ctx context.Context) {
		for n := range 2 * rounds(t) {
			m := c.members[n%len(c.members)]
			c.kill(m)
			_, _ = b.View(ctx)
			c.start(m)
			_, _ = b.View(ctx)
		}
	})
}

// A server that is believed although it is behind is found by the histories.
func TestPlantedStaleReadsAreFound(t *testing.T) {
	c := begin(t, 3)
	leader := c.leader()
	behind := c.members[(leader+1)%3]
	fresh, stale := at(t, "stale", c.members[leader].client), at(t, "stale", behind.client)
	stale.stale = true
	r := histories.New("tie 1")
	act(t, fresh, claim("mix", 1, "tie 2"), nil)
	for n := uint64(2); n < 4000; n += 2 {
		a := claim("mix", n, "tie 1")
		_, _ = r.Act(t.Context(), 0, fresh, a)
		_, _ = r.Look(t.Context(), 1, stale)
		a.Do, a.Number = border.ToRelease, n+1
		_, _ = r.Act(t.Context(), 0, fresh, a)
		_, _ = r.Look(t.Context(), 1, stale)
		if n%50 == 0 && r.Check(time.Minute) == porcupine.Illegal {
			t.Logf("found after %d acts", n)
			return
		}
	}
	t.Error("no stale read was found")
}

func TestNoServer(t *testing.T) {
	closed := ports(t, 1)[0]
	b, err := New(Options{House: "none", Servers: []string{"http://" + closed}, Patience: time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	view := act(t, b, claim("mix", 1, "tie 1"), border.ErrUnreached)
	if view.Cut == nil || view.Cut.Why == "" || view.Cut.Since.IsZero() {
		t.Errorf("%+v", view.Cut)
	}
	b.servers.try = time.Minute
	if err := b.servers.post(t.Context(), b.servers.all[0], statusPath, nil, &status{}); err == nil || !strings.Contains(err.Error(), "refused") {
		t.Errorf("a server that is not there: %v", err)
	}
}

func TestSomethingElseAnswers(t *testing.T) {
	at404 := serving(t, http.NotFoundHandler())
	b, err := New(Options{House: "else", Servers: []string{at404}})
	if err != nil {
		t.Fatal(err)
	}
	_, err = b.Act(t.Context(), claim("mix", 1, "tie 1"))
	if want := fmt.Sprintf("the server refuses: %s answered 404 Not Found, which no server of etcd 3.4 or newer does here", at404); !errors.Is(err, ErrRefuses) || err.Error() != want {
		t.Errorf("got %v", err)
	}
}

func TestTwoClusters(t *testing.T) {
	one, other := serving(t, answering(`{"header": {"cluster_id": "1"}}`)), serving(t, answering(`{"header": {"cluster_id": "2"}}`))
	b := at(t, "mixed", one, other)
	if err := b.servers.probe(t.Context()); !errors.Is(err, ErrCluster) {
		t.Errorf("got %v", err)
	}
	act(t, b, claim("mix", 1, "tie 1"), ErrCluster)
}
