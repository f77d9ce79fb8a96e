package border_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/anishathalye/porcupine"
	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"bayhand/model/house"
	"bayhand/recall/border"
	"bayhand/recall/border/histories"
)

// disk is a store in memory, which takes nothing while it is full.
type disk struct {
	table border.Table
	full  bool
}

func (d *disk) Load() (border.Table, error) { return d.table.Clone(), nil }

func (d *disk) Save(t border.Table) error {
	if d.full {
		return errors.New("no space left on device")
	}
	d.table = t.Clone()
	return nil
}

func memory(t testing.TB, store border.Store) *border.Memory {
	t.Helper()
	m, err := border.NewMemory(store, func() time.Time { return time.Unix(0, 0) })
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func claim(room string, number uint64, places ...border.Place) border.Act {
	return border.Act{Do: border.ToClaim, Room: room, Number: number, Recall: number, Session: room + "-take", Places: places}
}

func release(room string, number uint64, places ...border.Place) border.Act {
	return border.Act{Do: border.ToRelease, Room: room, Number: number, Places: places}
}

func TestAllOrNone(t *testing.T) {
	m := memory(t, &disk{})
	act(t, m, claim("mix", 1, "tie 1", "tie 2"), nil)
	act(t, m, claim("live", 1, "tie 3", "tie 2"), border.ErrHeld)
	view := act(t, m, claim("live", 2, "tie 3"), nil)
	if got := view.Table.Held("live"); !cmp.Equal(got, []border.Place{"tie 3"}) {
		t.Errorf("live holds %v", got)
	}
	_, err := m.Act(t.Context(), claim("live", 3, "tie 1", "tie 2"))
	if want := "tie 1 is held by room mix for mix-take; tie 2 is held by room mix for mix-take"; err == nil || err.Error() != want {
		t.Errorf("refused with %v", err)
	}
}

// Each line is an act that comes again or late, after what was done before.
func TestAgainAndLate(t *testing.T) {
	m := memory(t, &disk{})
	act(t, m, claim("mix", 1, "tie 1"), nil)
	act(t, m, claim("mix", 1, "tie 1"), nil)
	act(t, m, claim("mix", 1, "tie 2"), border.ErrLate) // the number of another act
	act(t, m, release("mix", 2, "tie 1"), nil)
	act(t, m, claim("mix", 1, "tie 1"), border.ErrLate)
	act(t, m, claim("live", 1, "tie 1"), nil)
	act(t, m, release("mix", 2, "tie 1"), nil)
	view := act(t, m, release("mix", 3, "tie 1"), nil)
	if got := view.Table.Holds["tie 1"].Room; got != "live" {
		t.Errorf("tie 1 is held by %q", got)
	}
}

func TestTakenAwayByAPerson(t *testing.T) {
	m := memory(t, &disk{})
	act(t, m, claim("mix", 1, "tie 1"), nil)
	taking := border.Act{Do: border.ToTakeAway, Room: "mix", Places: []border.Place{"tie 1"}}
	act(t, m, taking, border.ErrUsage)
	taking.By = "Ada"
	act(t, m, taking, border.ErrUsage)
	taking.Mark = "Ada's first"
	view := act(t, m, taking, nil)
	if len(view.Table.Takings) != 1 || view.Table.Takings[0].By != "Ada" || view.Table.Takings[0].From.Room != "mix" {
		t.Errorf("the history has %+v", view.Table.Takings)
	}
	act(t, m, taking, nil)
	act(t, m, claim("mix", 1, "tie 1"), border.ErrLost)
	act(t, m, claim("mix", 2, "tie 1"), nil)
	view = act(t, m, taking, nil) // it comes again, long after
	if view.Table.Holds["tie 1"].Room != "mix" || len(view.Table.Takings) != 1 {
		t.Errorf("one act took it away twice: %+v", view.Table)
	}
}

func TestAdoptedOnce(t *testing.T) {
	m := memory(t, &disk{})
	first := border.Act{Do: border.ToAdopt, Files: "aaaa", By: "Ada", Mark: "1"}
	other := border.Act{Do: border.ToAdopt, Files: "bbbb", By: "Ben", Mark: "2"}
	act(t, m, first, nil)
	act(t, m, other, nil)
	if view := act(t, m, first, nil); view.Table.Files.Digest != "bbbb" {
		t.Errorf("the files are %+v", view.Table.Files)
	}
}

// The first daemon that enters makes its files those of the house; the next one with
// others is noted, and neither claims nor gives back until its own are adopted.
func TestEntered(t *testing.T) {
	m := memory(t, &disk{})
	enter := func(host, studio, duties, mark string) border.Act {
		return border.Act{Do: border.ToEnter, Host: host, Mark: mark, Files: studio, House: duties}
	}
	act(t, m, enter("north", "aaaa", "one", "1"), nil)
	before := act(t, m, enter("south", "aaaa", "two", "2"), nil)
	if f := before.Table.Files; f.Digest != "aaaa" || f.House != "one" || f.Host != "north" || before.Table.Hosts["south"].House != "two" {
		t.Errorf("the files are %+v, the hosts %+v", f, before.Table.Hosts)
	}
	if after := act(t, m, enter("south", "aaaa", "two", "2"), nil); after.Table.Revision != before.Table.Revision {
		t.Errorf("to enter again made revision %d of %d", after.Table.Revision, before.Table.Revision)
	}
	with := func(a border.Act, house string) border.Act { a.Files, a.House = "aaaa", house; return a }
	act(t, m, with(claim("mix", 1, "tie 1"), "two"), border.ErrFiles)
	act(t, m, with(claim("mix", 1, "tie 1"), "one"), nil)
	release := claim("mix", 2, "tie 1")
	release.Do = border.ToRelease
	act(t, m, with(release, "two"), border.ErrFiles)
	act(t, m, border.Act{Do: border.ToAdopt, Files: "aaaa", House: "two", By: "Ada", Mark: "3"}, nil)
	if view := act(t, m, with(release, "two"), nil); len(view.Table.Holds) > 0 {
		t.Errorf("the table has %v", view.Table.Holds)
	}
}

func TestMeaninglessActs(t *testing.T) {
	m := memory(t, &disk{})
	for _, a := range []border.Act{
		{}, claim("", 1, "tie 1"), claim("mix", 1), claim("mix", 0, "tie 1"), claim("mix", 1, ""),
		{Do: border.ToEnter, Host: "north", Files: "aaaa", House: "one"},
		{Do: "borrow", Room: "mix", Number: 1, Places: []border.Place{"tie 1"}},
	} {
		act(t, m, a, border.ErrUsage)
	}
}

func act(t *testing.T, b border.Border, a border.Act, want error) border.View {
	t.Helper()
	view, err := b.Act(t.Context(), a)
	if !errors.Is(err, want) || (err == nil) != (want == nil) {
		t.Errorf("%+v: got %v, want %v", a, err, want)
	}
	return view
}

// Whatever rooms and persons do, a place changes its room only through nobody, every
// revision is that of one table, and what a full disk or a restart takes is nothing.
func TestNoPlaceHasTwoRooms(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		store := &disk{}
		m := memory(t, store)
		numbers := map[string]uint64{}
		seen := map[uint64]border.Table{}
		for range rapid.IntRange(1, 40).Draw(rt, "acts") {
			before, _ := m.View(t.Context())
			store.full = rapid.IntRange(0, 9).Draw(rt, "full") == 0
			a := drawn(rt, numbers)
			after, err := m.Act(t.Context(), a)
			checkStep(rt, a, before.Table, after.Table, err)
			if was, is := seen[after.Table.Revision]; is && !cmp.Equal(was, after.Table) {
				rt.Fatalf("revision %d is that of two tables: %s", after.Table.Revision, cmp.Diff(was, after.Table))
			}
			seen[after.Table.Revision] = after.Table
			if rapid.Bool().Draw(rt, "restart") {
				m = memory(t, store)
			}
		}
	})
}

func drawn(rt *rapid.T, numbers map[string]uint64) border.Act {
	room := rapid.SampledFrom([]string{"mix", "live", "cut"}).Draw(rt, "room")
	places := rapid.SliceOfN(rapid.SampledFrom([]border.Place{"a", "b", "c", "d"}), 1, 3).Draw(rt, "places")
	do := rapid.SampledFrom([]border.Do{border.ToClaim, border.ToClaim, border.ToRelease, border.ToTakeAway}).Draw(rt, "do")
	if rapid.IntRange(0, 4).Draw(rt, "again") > 0 {
		numbers[room]++
	}
	return border.Act{Do: do, Room: room, Number: max(numbers[room], 1), By: "somebody", Mark: border.NewMark(), Places: places}
}

// checkStep holds one act against what may come of it.
func checkStep(rt *rapid.T, a border.Act, before, after border.Table, err error) {
	if err != nil && !cmp.Equal(before, after) {
		rt.Fatalf("%+v was refused (%v) and changed the table: %s", a, err, cmp.Diff(before, after))
	}
	for p, was := range before.Holds {
		if is, still := after.Holds[p]; still && is.Room != was.Room {
			rt.Fatalf("%s went from %s to %s by %+v", p, was.Room, is.Room, a)
		} else if !still && was.Room != a.Room {
			rt.Fatalf("%s was taken from %s by %+v", p, was.Room, a)
		}
	}
	if err == nil && a.Do == border.ToClaim {
		for _, p := range a.Places {
			if after.Holds[p].Room != a.Room {
				rt.Fatalf("%+v was carried out, and %s is held by %q", a, p, after.Holds[p].Room)
			}
		}
	}
}

func TestKeptInAFile(t *testing.T) {
	file := border.File(filepath.Join(t.TempDir(), border.FileName))
	before := act(t, memory(t, file), claim("mix", 1, "tie 1", "tie 2"), nil)
	after, err := memory(t, file).View(t.Context())
	if err != nil || !cmp.Equal(before.Table, after.Table) {
		t.Errorf("%v: %s", err, cmp.Diff(before.Table, after.Table))
	}
}

func TestWatchersSeeTheNewest(t *testing.T) {
	m := memory(t, &disk{})
	ctx, stop := context.WithCancel(t.Context())
	views := m.Watch(ctx)
	for n := range uint64(5) {
		act(t, m, claim("mix", n+1, border.Place(fmt.Sprint("tie ", n))), nil)
	}
	if v := <-views; v.Table.Revision != 5 {
		t.Errorf("the newest is revision %d", v.Table.Revision)
	}
	stop()
	for range views {
		t.Error("a view after the end")
	}
}

func TestHistoriesOfMemory(t *testing.T) {
	m := memory(t, &disk{})
	r := histories.New("tie 1", "tie 2", "tie 3")
	histories.People{Borders: []border.Border{m, m, m, m}, Acts: 60, Seed: 1}.Do(t.Context(), r)
	if got := r.Check(10 * time.Second); got != porcupine.Ok {
		t.Error(got)
	}
}

// faulty is a border with a mistake planted in how it decides.
type faulty struct {
	border.Border
	twist func(border.Table, *border.Act) // what it makes of an act
}

func (f faulty) Act(ctx context.Context, a border.Act) (border.View, error) {
	view, err := f.Border.View(ctx)
	if err != nil {
		return view, err
	}
	f.twist(view.Table, &a)
	return f.Border.Act(ctx, a)
}

func TestPlantedFaultsAreFound(t *testing.T) {
	faults := map[string]func(border.Border) border.Border{
		"what came before is done again": func(b border.Border) border.Border {
			return faulty{b, func(t border.Table, a *border.Act) {
				a.Number = max(a.Number, t.Rooms[a.Room].Number+1)
			}}
		},
		"a claim does not look who holds it": func(b border.Border) border.Border {
			return faulty{b, func(t border.Table, a *border.Act) {
				for _, p := range a.Places {
					if h, is := t.Holds[p]; is && a.Do == border.ToClaim && h.Room != a.Room {
						_, _ = b.Act(context.Background(), border.Act{Do: border.ToTakeAway, Room: h.Room, By: "nobody", Mark: border.NewMark(), Places: []border.Place{p}})
					}
				}
			}}
		},
		"a release lets go of all": func(b border.Border) border.Border {
			return faulty{b, func(t border.Table, a *border.Act) {
				if a.Do == border.ToRelease {
					a.Places = t.Held(a.Room)
				}
				if len(a.Places) == 0 {
					a.Places = []border.Place{"none"}
				}
			}}
		},
		"a look sees an older table": func(b border.Border) border.Border { return &behind{Border: b} },
	}
	for name, plant := range faults {
		m := plant(memory(t, &disk{}))
		r := histories.New("tie 1", "tie 2", "tie 3")
		histories.People{Borders: []border.Border{m, m, m, m}, Acts: 60, Seed: 1}.Do(t.Context(), r)
		if got := r.Check(10 * time.Second); got != porcupine.Illegal {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Once all hosts have the same files they go by these, and not before: a host with others
// is waited for, and so is one that entered before a person adopted what it may not know.
func TestHostsAgree(t *testing.T) {
	m := memory(t, &disk{})
	duties := map[string]house.Duties{"north": {Rooms: []string{"live"}}, "south": {Rooms: []string{"mix"}}, "east": {Rooms: []string{"attic"}}}
	enter := func(host, studio string) {
		t.Helper()
		act(t, m, border.Act{Do: border.ToEnter, Host: host, Mark: host + studio, Files: studio, House: "one", Duties: duties}, nil)
	}
	goBy := func(studio, want string) {
		t.Helper()
		view := act(t, m, border.Act{Do: border.ToAgree, Host: "north", Files: studio, House: "one", Duties: duties}, nil)
		if got := view.Table.Files.Digest; got != want {
			t.Errorf("the hosts go by %s, not %s", got, want)
		}
	}
	enter("north", "old")
	enter("south", "old")
	enter("north", "new")
	goBy("new", "old") // south has the old one
	enter("south", "new")
	goBy("new", "new") // east never entered
	enter("north", "old")
	enter("south", "old")
	goBy("old", "old") // an edit is taken back
	act(t, m, border.Act{Do: border.ToAdopt, Files: "newest", House: "one", Duties: duties, By: "Ada", Mark: "1"}, nil)
	goBy("old", "newest") // they do not know what Ada adopted
	enter("north", "newer")
	goBy("newer", "newest")
	enter("south", "newer")
	goBy("newer", "newer")
	only := map[string]house.Duties{"north": {Rooms: []string{"live", "mix"}}}
	act(t, m, border.Act{Do: border.ToEnter, Host: "north", Mark: "alone", Files: "newer", House: "two", Duties: only}, nil)
	view := act(t, m, border.Act{Do: border.ToAgree, Host: "north", Files: "newer", House: "two", Duties: only}, nil)
	if view.Table.Files.House != "one" {
		t.Error("a host whose file leaves another one out agrees with itself")
	}
	for _, wrong := range []border.Act{{Do: border.ToAgree, Files: "new", House: "one"}, {Do: border.ToAgree, Host: "north", House: "one"}, {Do: border.ToAgree, Host: "north", Files: "new"}} {
		act(t, m, wrong, border.ErrUsage)
	}
}
