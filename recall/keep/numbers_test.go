package keep_test

import (
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

func numberOf(s keep.Status, a, b string) int {
	for _, c := range s.Known.Cords {
		if c.Same(cord(a, b)) {
			return c.Number
		}
	}
	return 0
}

// A numbered cord is followed from jack to jack, over a restart as well; the same fault
// twice in one place says nothing of the cord, in places that share no jack it is worn.
func TestWornCordIsProposedForTheBin(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		two := func(do keep.Deed, x, y string) keep.Act { return keep.Act{Do: do, A: jack(x), B: jack(y)} }
		fault := func(x, y, code string) keep.Act {
			a := two(keep.CordFailed, x, y)
			a.Fault = code
			return a
		}
		number := two(keep.Number, "t1", "b1")
		number.Number = 12
		b.refused(number, keep.ErrConflict)
		b.act(two(keep.Plugged, "t1", "b1"))
		b.act(two(keep.Plugged, "t5", "b5"))
		if s := b.act(number); numberOf(s, "b1", "t1") != 12 || numberOf(s, "t5", "b5") != 0 {
			t.Errorf("%+v", s.Known.Cords)
		}
		b.act(fault("t1", "b1", "leg-dead"))
		b.act(fault("t1", "b1", "leg-dead"))
		b.act(fault("t5", "b5", "leg-dead")) // has no number
		b.act(two(keep.Moved, "b1", "b2"))
		s := b.act(fault("t1", "b2", "cord-dead"))
		if numberOf(s, "t1", "b2") != 12 || problem(s, "worn-cord") != "" {
			t.Errorf("moved at one end: %+v, %q", s.Known.Cords, problem(s, "worn-cord"))
		}
		b.restart(-1)
		b.act(keep.Act{Do: keep.Pulled, A: jack("t1")})
		b.act(two(keep.Plugged, "t7", "b7"))
		if s = b.status(); numberOf(s, "t7", "b7") != 0 {
			t.Error("another cord has the number of one that was pulled")
		}
		number.A, number.B = jack("t7"), jack("b7")
		b.act(number)
		s = b.act(fault("b7", "t7", "leg-dead"))
		if text := problem(s, "worn-cord"); !strings.Contains(text, "cord 12 was at fault in different jacks: leg-dead in main/t1 - main/b1; cord-dead in") {
			t.Errorf("said of it: %q", text)
		}
		b.act(keep.Act{Do: keep.Binned, Number: 12})
		if s = b.status(); problem(s, "worn-cord") != "" || numberOf(s, "t7", "b7") != 0 {
			t.Errorf("thrown away, and %q", problem(s, "worn-cord"))
		}
		b.refused(keep.Act{Do: keep.Binned, Number: 12}, keep.ErrUsage)
	})
}

// A number goes from one cord to another only by a person's word.
func TestNumberIsOnOneCord(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		for _, n := range []string{"1", "2"} {
			b.act(keep.Act{Do: keep.Plugged, A: jack("t" + n), B: jack("b" + n)})
			b.act(keep.Act{Do: keep.Number, A: jack("t" + n), B: jack("b" + n), Number: 3})
		}
		if s := b.status(); numberOf(s, "t1", "b1") != 0 || numberOf(s, "t2", "b2") != 3 {
			t.Errorf("%+v", s.Known.Cords)
		}
		b.act(keep.Act{Do: keep.Number, A: jack("t2"), B: jack("b2"), Number: 4})
		if s := b.status(); numberOf(s, "t2", "b2") != 4 {
			t.Errorf("%+v", s.Known.Cords)
		}
		b.refused(keep.Act{Do: keep.Number, A: jack("t2"), B: jack("b2")}, keep.ErrUsage)
		b.refused(keep.Act{Do: keep.Number, A: jack("t2"), B: name.Point{}, Number: 4}, keep.ErrUsage)
	})
}

// In a studio that says which numbers stand on its cords no other is taken.
func TestNumbersOfTheStudio(t *testing.T) {
	onBench(t, func(b *bench) {
		b.files.Studio.Stock.Numbers = studio.Numbers{First: 1, Last: 24}
		b.start()
		b.act(keep.Act{Do: keep.Plugged, A: jack("t1"), B: jack("b1")})
		number := keep.Act{Do: keep.Number, A: jack("t1"), B: jack("b1"), Number: 25}
		b.refused(number, keep.ErrUsage)
		number.Number = 24
		if s := b.act(number); numberOf(s, "t1", "b1") != 24 {
			t.Errorf("%+v", s.Known.Cords)
		}
	})
}
