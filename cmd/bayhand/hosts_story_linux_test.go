package main

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"bayhand/recall/border"
	"bayhand/recall/keep"
)

// Hosts whose clocks differ by an hour or more work while they and the servers are killed,
// stopped, cut off on both sides and one, also as they give lines back, reached slowly or by half, and their disks full. Each plan
// that is given has its lines in the table, no acknowledged cord is lost, no line has the
// cords of two rooms, and when all is well again tables and rooms agree.
//
// BAYHAND_HOSTS says how much happens, with five hosts and three servers; else it is little,
// with three hosts and one server.
func TestHosts(t *testing.T) {
	t.Parallel()
	events, servers, rooms := len(troubles), 1, []string{"a", "b", "c"}
	if text := os.Getenv("BAYHAND_HOSTS"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			t.Fatal("BAYHAND_HOSTS is a number of events")
		}
		events, servers, rooms = n, 3, []string{"a", "b", "c", "d", "e"}
	}
	h := newHosts(t, rooms, servers, 18)
	kinds := h.lots.Perm(len(troubles))
	for n := range events {
		if n > 0 && n%len(troubles) == 0 {
			kinds = h.lots.Perm(len(troubles))
		}
		troubles[kinds[n%len(troubles)]](h)
	}
	t.Logf("%d acts taken; the longest answer took %v, without the table %v", h.given, h.slowest[0], h.slowest[1])
	if h.given == 0 {
		t.Error("nothing was given")
	}
	t.Logf("after all was well again, all agreed within %v", h.until("all agree", h.agree))
}

// troubles are what happens, each with the work that goes on meanwhile.
var troubles = []func(*hosts){
	func(h *hosts) { h.work(h.any()) },
	func(h *hosts) { h.work(h.any()) },
	func(h *hosts) { h.killed(h.any()) },
	func(h *hosts) {
		one := h.any()
		h.stopped(one, true)
		h.work(h.other(one))
		h.stopped(one, false)
	},
	func(h *hosts) { h.alone(cut) },
	func(h *hosts) { h.alone(deaf) },
	func(h *hosts) { h.alone(mute) },
	func(h *hosts) { h.alone(slow) },
	func(h *hosts) { h.half(h.any()) },
	func(h *hosts) { h.full(h.any()) },
	func(h *hosts) { h.unheard(h.any()) },
	func(h *hosts) {
		s := h.servers[h.lots.IntN(len(h.servers))]
		s.kill()
		if len(h.servers) > 1 {
			h.work(h.any())
		}
		s.start(h.TB)
	},
}

// alone has a host work on while its ways are cut, and once more when they are mended.
func (h *hosts) alone(s wayState) {
	one := h.any()
	h.through(one, s)
	h.work(one)
	h.work(h.other(one))
	h.through(one, whole)
	h.work(one)
}

// half has a host reach some of the servers, or the one by some of its ways.
func (h *hosts) half(one *oneHost) {
	h.Helper()
	lots := h.lots.Perm(len(one.ways))
	for _, i := range lots[1:] {
		one.ways[i].set(cut)
	}
	h.work(one)
	h.says(one, "house-servers", fmt.Sprintf("1 of %d servers of the table answer", len(lots)))
	h.through(one, whole)
}

// full has a host whose disk is full: nothing is acknowledged, and nothing is lost. By
// the limit of a process nothing is written to any file (getrlimit(2), RLIMIT_FSIZE).
func (h *hosts) full(one *oneHost) {
	h.Helper()
	var usual unix.Rlimit
	if err := unix.Prlimit(one.process.Process.Pid, unix.RLIMIT_FSIZE, &unix.Rlimit{Cur: 0, Max: unix.RLIM_INFINITY}, &usual); err != nil {
		h.Fatal(err)
	}
	ctx, stop := context.WithTimeout(context.Background(), time.Minute)
	defer stop()
	client := h.find(ctx, one)
	defer client.Close()
	answer, err := client.Act(ctx, keep.Act{Do: keep.ToRecall, Session: "desk-" + one.room})
	if err == nil {
		h.Errorf("host %s keeps on a full disk: %+v", one.room, answer.Status.Phase)
	} else {
		h.Logf("a full disk: %v", err)
	}
	if err := unix.Prlimit(one.process.Process.Pid, unix.RLIMIT_FSIZE, &usual, nil); err != nil {
		h.Fatal(err)
	}
	h.work(one)
}

// unheard has a host give back its lines and never hear that the table has them, and want one again: that is
// no more the host's than anybody's, while it is cut off and once it is not.
func (h *hosts) unheard(one *oneHost) {
	h.Helper()
	tape := keep.Act{Do: keep.ToRecall, Session: []string{"tape-1", "tape-2"}[h.lots.IntN(2)]}
	for _, other := range h.all {
		h.act(other, keep.Act{Do: keep.ToRecall, Session: keep.RestName})
		h.act(other, keep.Act{Do: keep.WereDone, All: true})
	}
	h.until("all lines are free", func() bool {
		view, err := h.table.View(context.Background())
		return err == nil && len(view.Table.Holds) == 0
	})
	h.until("the line is given", func() bool { return h.act(one, tape) })
	for _, w := range one.ways {
		w.lost = func() { h.through(one, deaf) }
	}
	h.through(one, losing)
	h.act(one, keep.Act{Do: keep.ToRecall, Session: keep.RestName})
	h.act(one, keep.Act{Do: keep.WereDone, All: true})
	h.until("the table has the lines back", func() bool {
		view, err := h.table.View(context.Background())
		return err == nil && len(view.Table.Held(one.room)) == 0
	})
	if h.act(one, tape) {
		h.Errorf("host %s is given what the table has back, and hears nothing of that", one.room)
	}
	h.through(one, whole)
	h.work(one)
}

// isCut says whether a host says that it does not reach the table.
func (h *hosts) isCut(one *oneHost) bool {
	s, err := h.status(one)
	return err == nil && slices.ContainsFunc(s.Problems, func(p keep.Problem) bool { return p.Code == "house-cut" })
}

// agree says whether each host reaches the table, and the table has of each room what its
// host says, and lines for those rooms only that use them.
func (h *hosts) agree() bool {
	view, err := h.table.View(context.Background())
	if err != nil {
		return false
	}
	held := 0
	for _, one := range h.all {
		s, err := h.status(one)
		if err != nil {
			return false
		}
		if h.isCut(one) || !slices.ContainsFunc(view.Announced, func(a border.Announcement) bool {
			return a.Room == one.room && a.Phase == string(s.Phase) && a.Session == roomSession(s, one.room)
		}) {
			return false
		}
		held += len(view.Table.Held(one.room))
		for _, place := range h.lines.Taken(s.Known.Patch()) {
			if view.Table.Holds[border.Place(place)].Room != one.room {
				return false
			}
		}
	}
	return held == len(view.Table.Holds)
}

func roomSession(s keep.Status, room string) string {
	for _, r := range s.Rooms {
		if r.Room == room {
			return r.Session
		}
	}
	return s.Session
}
