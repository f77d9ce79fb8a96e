package scope_test

import (
	"fmt"
	"testing"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/scope"
	"bayhand/model/studio"
)

// twoBays is a studio of two rooms with a bay each, and few cords of three kinds.
func twoBays() *studio.Studio {
	bay := func(called string) studio.Bay {
		return studio.Bay{Name: called, Modes: make([]studio.Mode, 8), Jack: studio.Bantam}
	}
	kind := func(length measure.Length, plugs studio.Jack, count int) studio.StockCord {
		return studio.StockCord{Length: length, Ends: [2]studio.Jack{plugs, plugs}, Count: count}
	}
	return &studio.Studio{
		Bays: []studio.Bay{bay("far"), bay("main")}, Dummies: 3,
		Rooms: []studio.Room{{Name: "live", Parts: []string{"far"}}, {Name: "mix", Parts: []string{"main"}}},
		Stock: studio.Stock{Cords: []studio.StockCord{kind(30*measure.Centimetre, studio.LongFrame, 5), kind(30*measure.Centimetre, studio.Bantam, 5), kind(60*measure.Centimetre, studio.Bantam, 5)}},
	}
}

func cords(length measure.Length, pairs ...[2]name.Point) patch.Patch {
	var p patch.Patch
	for _, ends := range pairs {
		p.Cords = append(p.Cords, patch.Cord{A: ends[0], B: ends[1], Length: length})
	}
	return p
}

// What is left of the stock, of long-frame cords of 30 cm, others of 30 and of 60 cm, and
// of dummies, beside what is in and what is still to come in another room.
func TestStockThatIsLeft(t *testing.T) {
	s := twoBays()
	top, bottom := s.Bays[0].TopJack, s.Bays[0].BottomJack
	const short, long = 30 * measure.Centimetre, 60 * measure.Centimetre
	dummies := func(at ...name.Point) patch.Patch { return patch.Patch{Dummies: at} }
	for _, c := range []struct {
		what   string
		in, to patch.Patch
		want   string
	}{
		{"nothing", patch.Patch{}, patch.Patch{}, "[5 5 5] 3"},
		{"in", cords(short, [2]name.Point{top(1), bottom(1)}), patch.Patch{}, "[5 4 5] 3"},
		{"to come", patch.Patch{}, cords(long, [2]name.Point{top(1), bottom(1)}), "[5 5 4] 3"},
		{"stays, the other way round", cords(short, [2]name.Point{top(1), bottom(1)}), cords(short, [2]name.Point{bottom(1), top(1)}), "[5 4 5] 3"},
		{"an end moves", cords(short, [2]name.Point{top(1), bottom(1)}), cords(short, [2]name.Point{top(1), bottom(2)}), "[5 4 5] 3"},
		{"two for one", cords(short, [2]name.Point{top(1), bottom(1)}), cords(short, [2]name.Point{top(1), bottom(2)}, [2]name.Point{top(2), bottom(1)}), "[5 3 5] 3"},
		{"a longer one", cords(short, [2]name.Point{top(1), bottom(1)}), cords(long, [2]name.Point{top(1), bottom(2)}), "[5 4 4] 3"},
		{"elsewhere", cords(short, [2]name.Point{top(1), bottom(1)}), cords(short, [2]name.Point{top(2), bottom(2)}), "[5 3 5] 3"},
		{"no length said", cords(0, [2]name.Point{top(1), bottom(1)}), patch.Patch{}, "[5 4 5] 3"},
		{"in its own room", cords(short, [2]name.Point{s.Bays[1].TopJack(1), s.Bays[1].BottomJack(1)}), patch.Patch{}, "[5 5 5] 3"},
		{"dummies", dummies(top(1), top(2)), dummies(top(2), top(3)), "[5 5 5] 0"},
	} {
		scoped := scope.New(s, []string{"mix"}, nil, []scope.Holder{{Session: "monday", Rooms: []string{"live"}}}, c.in, c.to)
		var left []int
		for _, k := range scoped.Studio.Stock.Cords {
			left = append(left, k.Count)
		}
		if got := fmt.Sprint(left, scoped.Studio.Dummies); got != c.want {
			t.Errorf("%s: left are %s, want %s", c.what, got, c.want)
		}
	}
}

// A cord that was still to come and is in now leaves as much to others as before, and so
// does one that was pulled and is to come again; one that nobody asked for does not.
func TestPluggedAsPromisedLeavesAsMuch(t *testing.T) {
	s := twoBays()
	top, bottom := s.Bays[0].TopJack, s.Bays[0].BottomJack
	in := cords(30*measure.Centimetre, [2]name.Point{top(1), bottom(1)})
	to := cords(30*measure.Centimetre, [2]name.Point{top(1), bottom(1)}, [2]name.Point{top(2), bottom(2)})
	scoped := scope.New(s, []string{"mix"}, nil, []scope.Holder{{Session: "monday", Rooms: []string{"live"}}}, in, to)
	for _, c := range []struct {
		what string
		is   patch.Patch
		want bool
	}{
		{"plugged as promised", to, true},
		{"its other end first", cords(30*measure.Centimetre, [2]name.Point{top(1), bottom(1)}, [2]name.Point{bottom(2), top(2)}), true},
		{"pulled, and to be plugged again", patch.Patch{}, true},
		{"of another length", cords(60*measure.Centimetre, [2]name.Point{top(1), bottom(1)}), false},
		{"unasked", cords(30*measure.Centimetre, [2]name.Point{top(1), bottom(1)}, [2]name.Point{top(3), bottom(3)}), false},
	} {
		if got := scoped.Untouched(in, c.is); got != c.want {
			t.Errorf("%s: untouched is %t", c.what, got)
		}
	}
}

// Cords are contested by their kind, and what is in is owned, also beyond the stock.
func TestContestedCords(t *testing.T) {
	s := twoBays()
	s.Stock.Cords[1].Count = 2
	far, main := s.Bays[0], s.Bays[1]
	promised := cords(30*measure.Centimetre, [2]name.Point{far.TopJack(1), far.BottomJack(1)})
	promised.Cords = append(promised.Cords, cords(60*measure.Centimetre, [2]name.Point{far.TopJack(2), far.BottomJack(2)}).Cords...)
	mine := func(n int) patch.Patch {
		var pairs [][2]name.Point
		for i := 1; i <= n; i++ {
			pairs = append(pairs, [2]name.Point{main.TopJack(i), main.BottomJack(i)})
		}
		return cords(30*measure.Centimetre, pairs...)
	}
	for _, c := range []struct {
		in, take, want int
	}{{0, 1, 0}, {0, 2, 1}, {2, 1, 0}, {2, 2, 1}, {3, 2, 0}, {3, 3, 1}} {
		scoped := scope.New(s, []string{"mix"}, nil, []scope.Holder{{Session: "monday", Rooms: []string{"live"}}}, mine(c.in), promised)
		if got, _ := scoped.Contested(mine(c.take)); len(got) != c.want {
			t.Errorf("with %d in, %d take from others %v, want %d", c.in, c.take, got, c.want)
		}
	}
}
