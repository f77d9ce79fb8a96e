package gate

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"bayhand/model/house"
	"bayhand/model/session"
	"bayhand/recall/border"
	"bayhand/recall/keep"
)

// usualRetell is how often a host tells how its rooms are although nothing changed. What
// is as old as three of these is not heard: one may be lost, and clocks of machines differ,
// so that a host goes by when it read what was told, and not by the time that this names.
const usualRetell = 30 * time.Second

// News is how new the last word of a room's host is.
type News int

// The kinds of news. A host that has just started, or that is cut off, knows no more than
// when it was told, by the other's clock.
const (
	_      News = iota
	Dated       // it is as old as it says
	Fresh       // it was told not long ago
	Silent      // the host should have told more since
)

// Neighbours are the rooms of a house as their hosts told last. Its methods may be called
// from anywhere.
type Neighbours struct {
	house   house.House
	host    house.Host
	session func(name string) *session.Session
	now     func() time.Time
	// silence is after how long without a word a host is not heard.
	silence time.Duration

	// mu guards the fields below.
	mu        sync.Mutex
	announced []border.Announcement
	cut       bool
	words     map[string]word // the last of each room
}

// word is when something was told of a room, by the clock there, and when it was read here.
type word struct {
	told, read time.Time
	// fresh is true once another word came than the first that was read.
	fresh bool
}

func newNeighbours(c Config, host house.Host) *Neighbours {
	return &Neighbours{house: c.House, host: host, session: c.Session, now: c.Now, silence: 3 * c.Retell, words: map[string]word{}}
}

// heed takes what is told by a view of the table.
func (n *Neighbours) heed(v border.View) {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.announced, n.cut = slices.Clone(v.Announced), v.Cut != nil
	for _, a := range n.announced {
		was, known := n.words[a.Room]
		if !known || !was.told.Equal(a.At) {
			n.words[a.Room] = word{a.At, n.now(), known}
		}
	}
}

// News is how new the last word of a room is; zero where there is none.
func (n *Neighbours) News(room string) News {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.news(room)
}

// news is News. Whoever calls has mu.
func (n *Neighbours) news(room string) News {
	w, known := n.words[room]
	switch {
	case !known:
		return 0
	case n.own(room):
		return Fresh
	case n.cut:
		return Dated
	case n.now().Sub(w.read) > n.silence:
		return Silent
	case w.fresh:
		return Fresh
	}
	return Dated
}

func (n *Neighbours) own(room string) bool { return slices.Contains(n.host.Rooms, room) }

// shown is what is shown of the rooms, as a text that is another where that is.
func (n *Neighbours) shown() string {
	n.mu.Lock()
	defer n.mu.Unlock()
	var all strings.Builder
	fmt.Fprintf(&all, "%v", n.cut)
	for _, a := range n.announced {
		fmt.Fprintf(&all, "\n%s %s %q %s %d", a.Room, a.Host, a.Session, a.Phase, n.news(a.Room))
	}
	return all.String()
}

// state is what a room is in, as its host told last or as it is here.
func (n *Neighbours) state(own keep.Status, room string) (border.Announcement, bool) {
	if n.own(room) {
		return border.Announcement{Room: room, Host: n.host.Name, Session: sessionIn(own, room), Phase: string(phaseIn(own, room)), At: n.now()}, true
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	i := slices.IndexFunc(n.announced, func(a border.Announcement) bool { return a.Room == room })
	if i < 0 {
		return border.Announcement{}, false
	}
	return n.announced[i], true
}
