package house_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/house"
)

// Addresses, order and hosts that keep nothing make no other house; rooms, lines and
// stand-bys do, and it is told who has what by which file.
func TestDifferences(t *testing.T) {
	file := func(hosts ...house.Host) map[string]house.Duties { return house.House{Hosts: hosts}.Duties() }
	here := file(
		house.Host{Name: "north", Rooms: []string{"live", "booth"}, Lines: []string{"grid"}},
		house.Host{Name: "south", Rooms: []string{"mix"}, StandBy: []string{"grid"}},
	)
	same := file(
		house.Host{Name: "east", Page: "http://east:7420"},
		house.Host{Name: "south", StandBy: []string{"grid"}, Rooms: []string{"mix"}, Page: "http://south:7420"},
		house.Host{Name: "north", Rooms: []string{"booth", "live"}, Lines: []string{"grid"}},
	)
	if got := house.Differences(here, same); len(got) > 0 || house.Digest(here) != house.Digest(same) {
		t.Errorf("told apart by %+v", got)
	}
	other := file(
		house.Host{Name: "north", Rooms: []string{"booth", "live", "mix"}},
		house.Host{Name: "south", Lines: []string{"grid"}},
	)
	want := []house.Difference{
		{house.Room, "mix", []string{"south"}, []string{"north"}},
		{house.Line, "grid", []string{"north"}, []string{"south"}},
		{house.StandBy, "grid", []string{"south"}, nil},
	}
	if got := house.Differences(here, other); !cmp.Equal(got, want) {
		t.Error(cmp.Diff(want, got))
	}
	if house.Digest(here) == house.Digest(other) {
		t.Error("one digest for two houses")
	}
}
