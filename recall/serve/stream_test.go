package serve

import (
	"context"
	"errors"
	"fmt"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
)

func receive(t *testing.T, c <-chan keep.Status) (keep.Status, bool) {
	t.Helper()
	select {
	case s, ok := <-c:
		return s, ok
	case <-time.After(tooLong):
		t.Fatal("nothing comes")
		return keep.Status{}, false
	}
}

func TestEvents(t *testing.T) {
	s := serving(t, Options{})
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	first, err := s.client.Events(ctx)
	if err != nil {
		t.Fatal(err)
	}
	second, err := s.client.Events(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if n := s.room.post(whole()); n != 2 {
		t.Fatalf("%d streams", n)
	}
	got, _ := receive(t, first)
	if diff := cmp.Diff(whole(), got); diff != "" {
		t.Error(diff)
	}
	receive(t, second)
	cancel()
	if _, open := receive(t, first); open {
		t.Error("the stream goes on after its context")
	}
	// The end of the server ends the other one.
	if err := s.end(); err != nil {
		t.Error(err)
	}
	if _, open := receive(t, second); open {
		t.Error("the stream goes on after the server")
	}
	if _, err := s.client.Status(t.Context()); !errors.Is(err, keep.ErrStopped) {
		t.Errorf("after the end: %v", err)
	}
}

// Whoever takes nothing holds up nobody, and finds the newest when they look.
func TestSlowReaderGetsTheNewest(t *testing.T) {
	s := serving(t, Options{})
	slow, err := s.client.Events(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	quick, err := s.client.Events(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	const last = 500
	status := whole()
	for seq := uint64(1); seq <= last; seq++ {
		status.Seq = seq
		s.room.post(status)
	}
	for got := uint64(0); got < last; {
		status, open := receive(t, quick)
		if !open || status.Seq <= got {
			t.Fatalf("after %d comes %d", got, status.Seq)
		}
		got = status.Seq
	}
	for got := uint64(0); got < last; {
		status, open := receive(t, slow)
		if !open || status.Seq <= got {
			t.Fatalf("after %d comes %d", got, status.Seq)
		}
		got = status.Seq
	}
}

// A browser that asks for the stream and never reads it: its connection fills up,
// and everybody else is served all the same.
func TestStreamThatIsNeverRead(t *testing.T) {
	s := serving(t, Options{})
	s.room.answers(whole(), nil)
	never, err := net.Dial("tcp", strings.TrimPrefix(s.server.Address(), "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer never.Close()
	if err := never.(*net.TCPConn).SetReadBuffer(4 << 10); err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Fprintf(never, "GET /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	reads, err := s.client.Events(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	status := whole()
	status.Studio = strings.Repeat("x", 256<<10)
	const last = 32 // twice what Linux holds for a connection that nobody reads (tcp(7), tcp_wmem)
	for seq := uint64(1); seq <= last; seq++ {
		status.Seq = seq
		s.room.post(status)
		for got := uint64(0); got < seq; {
			now, open := receive(t, reads)
			if !open || now.Seq <= got {
				t.Fatalf("after %d comes %d", got, now.Seq)
			}
			got = now.Seq
		}
	}
	if _, err := s.client.Act(t.Context(), keep.Act{Do: keep.WereDone, All: true}); err != nil {
		t.Error(err)
	}
}

func TestEventsRefused(t *testing.T) {
	s := serving(t, Options{})
	s.room.answers(keep.Status{}, keep.ErrStopped)
	if _, err := s.client.Events(t.Context()); !errors.Is(err, keep.ErrStopped) {
		t.Errorf("events: %v", err)
	}
}

// The end of the server is not held up by a call that waits for a device.
func TestEndWhileARecallWaits(t *testing.T) {
	s := serving(t, Options{})
	s.room.holds = true
	done := make(chan error, 1)
	go func() {
		_, err := s.client.Act(context.Background(), keep.Act{Do: keep.ToRecall, Session: "tern"})
		done <- err
	}()
	<-s.room.held
	if err := s.end(); err != nil {
		t.Error(err)
	}
	if err := <-done; err == nil {
		t.Error("the recall that was broken off gives no error")
	}
}

func TestCallerLeaves(t *testing.T) {
	s := serving(t, Options{})
	s.room.holds = true
	ctx, cancel := context.WithCancel(t.Context())
	go func() {
		<-s.room.held
		cancel()
	}()
	if _, err := s.client.Act(ctx, keep.Act{Do: keep.ToRecall, Session: "tern"}); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}

// brokenBook is a history that cannot be read.
type brokenBook struct{}

func (brokenBook) Find(keep.Query) ([]keep.Event, error)    { return nil, keep.ErrJournal }
func (brokenBook) Prune(time.Time, keep.Event) (int, error) { return 0, keep.ErrJournal }

func TestHistory(t *testing.T) {
	book := &journal.Fleeting{}
	noon := time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC)
	step := plan.Step{ID: "1", Do: plan.Plug, Ends: []name.Point{name.At("main", "t", 1), name.At("main", "b", 2)}, After: []string{}}
	err := book.Write(keep.Memory{}, []keep.Event{
		{At: noon, Kind: keep.Recalled, Session: "tern", Text: "a"},
		{At: noon.Add(time.Hour), Kind: keep.StepDone, Session: "tern", Step: &step, By: "anna", Text: "b"},
		{At: noon.Add(2 * time.Hour), Kind: keep.Recalled, Session: "heron", Text: "c"},
	})
	if err != nil {
		t.Fatal(err)
	}
	s := serving(t, Options{History: book})
	texts := func(q keep.Query) string {
		t.Helper()
		found, err := s.client.Find(t.Context(), q)
		if err != nil {
			t.Error(err)
		}
		all := ""
		for _, e := range found {
			all += e.Text
		}
		return all
	}
	for _, c := range []struct {
		q    keep.Query
		want string
	}{
		{keep.Query{}, "abc"},
		{keep.Query{After: 1}, "bc"},
		{keep.Query{From: noon.Add(time.Hour)}, "bc"},
		{keep.Query{Until: noon.Add(time.Hour)}, "a"},
		{keep.Query{Session: "tern"}, "ab"},
		{keep.Query{Session: "tern", Kinds: []keep.Kind{keep.Recalled, keep.WasGiven}}, "a"},
		{keep.Query{Point: name.At("main", "b", 2)}, "b"},
		{keep.Query{Point: name.At("main", "b", 3)}, ""},
		{keep.Query{Last: 2}, "bc"},
		{keep.Query{Last: 1, Before: 3}, "b"},
		{keep.Query{Before: 3}, "ab"},
	} {
		if got := texts(c.q); got != c.want {
			t.Errorf("%+v finds %q, want %q", c.q, got, c.want)
		}
	}
	if n, err := s.client.Prune(t.Context(), noon.Add(time.Hour)); err != nil || n != 1 || !strings.HasPrefix(texts(keep.Query{}), "bcforgot 1 events") {
		t.Errorf("pruned %d, %v, and %q is left", n, err, texts(keep.Query{}))
	}
	if last, err := s.client.Find(t.Context(), keep.Query{Last: 1}); err != nil || len(last) != 1 || last[0].By == "" {
		t.Errorf("who pruned is told as %+v, %v", last, err)
	}
	broken := serving(t, Options{History: brokenBook{}})
	if _, err := broken.client.Find(t.Context(), keep.Query{}); !errors.Is(err, keep.ErrJournal) {
		t.Errorf("error %v", err)
	}
	if _, err := broken.client.Prune(t.Context(), noon); !errors.Is(err, keep.ErrJournal) {
		t.Errorf("error %v", err)
	}
}

func TestPortIsTaken(t *testing.T) {
	s := serving(t, Options{})
	taken := strings.TrimPrefix(s.server.Address(), "http://")
	if _, err := Listen(s.room, Options{Address: taken}); err == nil || !strings.Contains(err.Error(), taken) {
		t.Errorf("error %v", err)
	}
}

func TestUnspecifiedIsDialledByTheLoopback(t *testing.T) {
	s, err := Listen(&fake{}, Options{Address: "0.0.0.0:0", Hosts: []string{"studio-desk"}})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if !strings.HasPrefix(s.Address(), "http://127.0.0.1:") {
		t.Errorf("address %s", s.Address())
	}
	for host, want := range map[string]bool{"192.0.2.7:7420": true, "studio-desk": true, "Studio-Desk:1": true, "example.org": false, "": false} {
		if s.hosts.own(host) != want {
			t.Errorf("%q is own: %v", host, !want)
		}
	}
}

func FuzzListen(f *testing.F) {
	f.Add(": bayhand\n\nid: 1\nevent: status\ndata: {\"seq\":1}\n\n")
	f.Add("data: {")
	f.Add("data:{\"known\":{\"cords\":[{\"ends\":[]}]}}\n")
	f.Fuzz(func(t *testing.T, text string) {
		statuses := make(chan keep.Status, 1)
		listen(strings.NewReader(text), statuses)
	})
}

func errorIs(t testing.TB, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("error %v, want one that is %v", err, want)
	}
}

// longBook is a history of many events, that notes how many were asked for at once.
type longBook struct {
	*journal.Fleeting
	most *int
}

func (b longBook) Find(q keep.Query) ([]keep.Event, error) {
	events, err := b.Fleeting.Find(q)
	*b.most = max(*b.most, len(events))
	return events, err
}

// A long history is read whole and once, and little of it is held at a time.
func TestLongHistoryIsStreamed(t *testing.T) {
	book, noon := &journal.Fleeting{}, time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC)
	var events []keep.Event
	for range 3*historyPage + 7 {
		events = append(events, keep.Event{Kind: keep.PersonDid, At: noon})
	}
	events = append(events, keep.Event{Kind: keep.Recalled, At: noon})
	if err := book.Write(keep.Memory{}, events); err != nil {
		t.Fatal(err)
	}
	most := 0
	s := serving(t, Options{History: longBook{book, &most}})
	for _, c := range []struct {
		q    keep.Query
		want int
	}{{keep.Query{}, len(events)}, {keep.Query{After: 5}, len(events) - 5}, {keep.Query{Kinds: []keep.Kind{keep.Recalled}}, 1}, {keep.Query{Last: 3}, 3}} {
		got, err := s.client.Find(t.Context(), c.q)
		if err != nil || len(got) != c.want {
			t.Errorf("%+v: %d events, want %d (%v)", c.q, len(got), c.want, err)
			continue
		}
		for i, e := range got[1:] {
			if e.Seq <= got[i].Seq {
				t.Errorf("%+v: event %d comes after %d", c.q, e.Seq, got[i].Seq)
			}
		}
	}
	if most > historyPage {
		t.Errorf("%d events were held at once", most)
	}
	if _, err := s.client.Find(t.Context(), keep.Query{Last: mostLast + 1}); err == nil || !strings.Contains(err.Error(), "ask for more without it") {
		t.Errorf("too many: %v", err)
	}
}
