package gate_test

import (
	"errors"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"bayhand/model/house"
	"bayhand/model/text"
	"bayhand/recall/border"
	"bayhand/recall/gate"
	"bayhand/recall/keep"
)

// otherHouse has both rooms on south, and a matrix there.
func (b *building) otherHouse() house.House {
	b.t.Helper()
	h, _, problems := text.ReadHouse("house.yaml", []byte("house: Heron Boathouse\nservers: [\"http://127.0.0.1:2379\"]\nhosts: {south: {rooms: [live, mix]}}\n"), b.studio)
	if problems.Errors() {
		b.t.Fatal(problems)
	}
	h.Hosts[0].Lines = []string{"grid"}
	return *h
}

// entered waits until a host's daemon has told its files.
func (b *building) entered(hosts ...string) {
	b.t.Helper()
	b.until("all have entered", func(t border.Table) bool {
		for _, host := range hosts {
			if t.Hosts[host].Mark == "" {
				return false
			}
		}
		return true
	})
}

// A host whose file of the house gives it another's room says which host has what by which
// file, recalls nothing there and gives none of its lines back; the other says so too. Once
// its file is adopted it is the other way round.
func TestHostsWithTwoHouses(t *testing.T) {
	b := newBuilding(t)
	north := b.host("north")
	b.do(north, recall("heron"), nil)
	b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	b.entered("north")
	other := b.otherHouse()
	south := b.hostWith("south", other, "digest")
	b.entered("south")
	b.says(south, "other-files", "the house file here (")
	b.says(south, "other-files", "room live: kept by host south in the house file here, by host north in the one that the hosts go by")
	b.says(south, "other-files", "matrix grid: connected to host south in the house file here, to no host in the one that the hosts go by")
	b.says(north, "mixed-files", "host south has another house file (")
	_, err := south.Act(t.Context(), recall("heron"))
	if !errors.Is(err, keep.ErrConflict) || !strings.Contains(err.Error(), "room live, which this host keeps by the house file here, and host north by the one that the hosts go by") {
		t.Errorf("heron at south: %v", err)
	}
	b.do(south, recall("gull"), nil) // its own room goes on
	if _, err := south.Act(t.Context(), recall("tern")); !errors.Is(err, keep.ErrNotGiven) {
		t.Errorf("tern at south: %v", err)
	}
	if !south.HeldBack("grid") || north.HeldBack("grid") {
		t.Errorf("grid is held back: south %v, north %v", south.HeldBack("grid"), north.HeldBack("grid"))
	}
	if view, _ := b.table.View(t.Context()); view.Table.Holds["tape"].Room != "live" {
		t.Fatalf("the table has %v while the cords of live are in", view.Table.Holds)
	}
	b.adopt(other, "digest")
	b.says(north, "other-files", "room live: kept by host north in the house file here, by host south in the one that the hosts go by")
	b.says(north, "other-files", "gets no more shared lines")
	b.soon("grid is driven at south once its house was adopted", func() bool { return !south.HeldBack("grid") })
}

func (b *building) adopt(h house.House, studio string) {
	b.t.Helper()
	duties := h.Duties()
	if _, err := b.table.Act(b.t.Context(), border.Act{Do: border.ToAdopt, Files: studio, House: house.Digest(duties), Duties: duties, By: "Ada", Mark: border.NewMark()}); err != nil {
		b.t.Fatal(err)
	}
}

// says waits until a host says something.
func (b *building) says(g *gate.Gate, code, what string) {
	b.t.Helper()
	b.soon(what, func() bool {
		return slices.ContainsFunc(g.Problems(), func(p keep.Problem) bool { return p.Code == code && strings.Contains(p.Message, what) })
	})
}

// soon looks again and again, for a minute at most.
func (b *building) soon(what string, is func() bool) {
	b.t.Helper()
	tick := time.NewTicker(5 * time.Millisecond)
	defer tick.Stop()
	for over := time.After(time.Minute); !is(); {
		select {
		case <-tick.C:
		case <-over:
			b.t.Fatalf("never: %s", what)
		}
	}
}

// With another studio a host claims nothing, and gives nothing back: what it holds may
// have another name there.
func TestHostsWithTwoStudios(t *testing.T) {
	b := newBuilding(t)
	north := b.host("north")
	b.do(north, recall("heron"), nil)
	b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	b.adopt(b.house, "newer")
	b.says(north, "other-files", "the studio file here (digest) is not the one that the hosts go by (newer")
	b.do(north, recall(keep.RestName), nil)
	b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	south := b.hostWith("south", b.house, "newer")
	b.says(south, "mixed-files", "host north has another studio file (digest) than the hosts go by (newer")
	b.do(south, recall("gull"), nil)
	if view, _ := b.table.View(t.Context()); view.Table.Holds["tape"].Room != "live" {
		t.Errorf("the table has %v", view.Table.Holds)
	}
	b.adopt(b.house, "digest")
	b.until("the tape is free", func(t border.Table) bool { return len(t.Holds) == 0 })
}

// Two daemons say that they are one host: the first is told, and leaves the table alone.
func TestTwoDaemonsOfOneHost(t *testing.T) {
	b := newBuilding(t)
	first := b.host("north")
	b.entered("north")
	b.host("north")
	b.says(first, "host-twice", "another daemon, on the machine machine of north, says that it is host north")
	if _, err := first.Act(t.Context(), recall("heron")); !errors.Is(err, keep.ErrConflict) || !strings.Contains(err.Error(), "another daemon says that it is this host") {
		t.Errorf("heron: %v", err)
	}
	if !first.HeldBack("grid") {
		t.Error("the first drives a matrix that the second drives as well")
	}
}

// One host by itself has no others with other files: an edited studio claims as before.
func TestOneHostEditsItsStudio(t *testing.T) {
	b := newBuilding(t)
	alone := b.house
	alone.Servers, alone.Hosts = nil, []house.Host{{Name: "north", Rooms: []string{"live", "mix"}}}
	b.adopt(b.house, "older")
	b.do(b.hostWith("north", alone, "newer"), recall("heron"), nil)
}

// An edit that comes to one host after the other is said at each until all have it; then
// they go by it, and nobody has to adopt it.
func TestAnEditReachesAllHosts(t *testing.T) {
	b := newBuilding(t)
	var north, south atomic.Value
	north.Store("digest")
	south.Store("digest")
	first := b.hostReading("north", b.house, func() string { return north.Load().(string) })
	second := b.hostReading("south", b.house, func() string { return south.Load().(string) })
	b.entered("north", "south")
	b.do(first, recall("heron"), nil)
	north.Store("edited")
	b.do(first, keep.Act{Do: keep.WereDone, All: true}, nil)
	b.says(first, "other-files", "Bring all hosts to one version: they go by it as soon as all have it. Another one is at host south; where a host is off and the file here is the newer, run: bayhand house adopt")
	b.says(second, "mixed-files", "host north has another studio file (edited) than the hosts go by (digest")
	south.Store("edited")
	b.do(second, recall("gull"), nil)
	b.until("the hosts go by the edit", func(t border.Table) bool { return t.Files.Digest == "edited" })
	b.soon("nothing is wrong with the files", func() bool { return len(first.Problems())+len(second.Problems()) == 0 })
	b.do(first, recall(keep.RestName), nil)
	b.do(first, keep.Act{Do: keep.WereDone, All: true}, nil)
	b.free()
}
