package gate_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bayhand/model/house"
	"bayhand/recall/border"
	"bayhand/recall/gate"
	"bayhand/recall/keep"
)

// fate is what becomes of a release that carry carries out.
type fate func(l *lossy, carry func() (border.View, error)) (border.View, error)

// lossy is a table as it is seen over a way on which a release, or its answer, is lost or late.
type lossy struct {
	border.Border
	// fate is that of each release.
	fate fate
	// released and claimed get a token as each such act comes.
	released, claimed chan struct{}

	// mu guards the fields below.
	mu sync.Mutex
	// deaf is true while no news of the table comes, cut what is told instead of them; last are
	// those that came last.
	deaf bool
	cut  *border.Cut
	last border.View
}

func (l *lossy) Act(ctx context.Context, act border.Act) (border.View, error) {
	carry := func() (border.View, error) { return l.Border.Act(ctx, act) }
	switch act.Do {
	case border.ToClaim:
		defer token(l.claimed)
	case border.ToRelease:
		defer token(l.released)
		return l.fate(l, carry)
	}
	return carry()
}

func token(c chan struct{}) {
	select {
	case c <- struct{}{}:
	default:
	}
}

// deafen has no more news come, and cuts the table off where there is a reason for that.
func (l *lossy) deafen(cut *border.Cut) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.deaf, l.cut = true, cut
}

// heard is what comes of a view, and whether anything does.
func (l *lossy) heard(v border.View) (border.View, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if !l.deaf {
		l.last = v
	}
	v = l.last
	v.Cut = l.cut
	return v, !l.deaf || l.cut != nil
}

func (l *lossy) View(ctx context.Context) (border.View, error) {
	view, err := l.Border.View(ctx)
	if heard, _ := l.heard(view); heard.Cut != nil {
		return heard, border.ErrUnreached
	}
	return view, err
}

func (l *lossy) Watch(ctx context.Context) <-chan border.View {
	views := make(chan border.View)
	go func() {
		defer close(views)
		for v := range l.Border.Watch(ctx) {
			heard, is := l.heard(v)
			if !is {
				continue
			}
			select {
			case views <- heard:
			case <-ctx.Done():
			}
		}
	}()
	return views
}

// givesBack is a host that had the tape and is about to give it back, over a way that has some fate for that.
func (b *building) givesBack(fate fate) (*gate.Gate, *lossy) {
	b.t.Helper()
	l := &lossy{Border: b.table, fate: fate, released: make(chan struct{}, 1), claimed: make(chan struct{}, 1)}
	table := b.table
	b.table = l
	north := b.host("north")
	b.table = table
	b.do(north, recall("heron"), nil)
	b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	for len(l.claimed) > 0 {
		<-l.claimed
	}
	b.do(north, recall(keep.RestName), nil)
	b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	return north, l
}

func (b *building) wait(what string, c <-chan struct{}) {
	b.t.Helper()
	select {
	case <-c:
	case <-time.After(time.Minute):
		b.t.Fatalf("never: %s", what)
	}
}

func (b *building) holder() string {
	b.t.Helper()
	view, err := b.table.View(b.t.Context())
	if err != nil {
		b.t.Fatal(err)
	}
	return view.Table.Holds["tape"].Room
}

// The table has the tape back, and the host does not hear it: a plan by the tape is given once that is
// claimed anew.
func TestTheAnswerToAReleaseIsLost(t *testing.T) {
	b := newBuilding(t)
	north, l := b.givesBack(func(l *lossy, carry func() (border.View, error)) (border.View, error) {
		l.deafen(nil)
		_, err := carry()
		return border.View{}, errors.Join(border.ErrUnreached, err)
	})
	b.wait("the tape is given back", l.released)
	if got := b.holder(); got != "" {
		t.Fatalf("the tape is given back, and %q holds it", got)
	}
	b.do(north, recall("heron"), nil)
	if got := b.holder(); got != "live" {
		t.Errorf("heron is given the tape, which %q holds", got)
	}
}

// The same, and the table is cut off from then on: it could be anybody's by now.
func TestTheAnswerToAReleaseIsLostForLong(t *testing.T) {
	b := newBuilding(t)
	north, l := b.givesBack(func(l *lossy, carry func() (border.View, error)) (border.View, error) {
		l.deafen(&border.Cut{Since: time.Now(), Why: "it does not answer"})
		_, err := carry()
		return border.View{}, errors.Join(border.ErrUnreached, err)
	})
	b.wait("the tape is given back", l.released)
	b.soon("north knows that it is cut off", func() bool { return north.View().Cut != nil })
	_, err := north.Act(t.Context(), recall("heron"))
	if !errors.Is(err, keep.ErrNotGiven) || !strings.Contains(err.Error(), "the lines that rooms share is not reached since") {
		t.Errorf("heron by the tape, which nobody holds: %v", err)
	}
}

// The tape is wanted again while it is being given back: whichever comes first at the table, a plan by
// the tape is given and has it.
func TestALineIsWantedWhileItIsGivenBack(t *testing.T) {
	for called, first := range map[string]bool{"the release comes first": true, "the claim comes first": false} {
		t.Run(called, func(t *testing.T) {
			b := newBuilding(t)
			var once sync.Once
			wanted := make(chan struct{})
			north, l := b.givesBack(func(l *lossy, carry func() (border.View, error)) (view border.View, err error) {
				late := false
				once.Do(func() {
					late = true
					if first {
						view, err = carry()
					}
					token(l.released)
					<-wanted
					select {
					case <-l.claimed:
					case <-time.After(2 * time.Second): // it goes by what was known
					}
				})
				if late && first {
					return view, err
				}
				return carry()
			})
			b.wait("the tape is on its way back", l.released)
			close(wanted)
			b.do(north, recall("heron"), nil)
			if got := b.holder(); got != "live" {
				t.Errorf("heron is given the tape, which %q holds", got)
			}
		})
	}
}

// A release that was lost on the way comes when the tape is claimed anew: it is too late.
func TestAReleaseComesTooLate(t *testing.T) {
	b := newBuilding(t)
	late := make(chan func() (border.View, error), 100)
	north, l := b.givesBack(func(l *lossy, carry func() (border.View, error)) (border.View, error) {
		late <- carry
		return border.View{}, border.ErrUnreached
	})
	b.wait("the tape is on its way back", l.released)
	if got := b.holder(); got != "live" {
		t.Fatalf("the release is lost, and %q holds the tape", got)
	}
	b.do(north, recall("heron"), nil)
	if _, err := (<-late)(); !errors.Is(err, border.ErrLate) {
		t.Errorf("the release comes after the tape was claimed anew, and the table says %v", err)
	}
	if got := b.holder(); got != "live" {
		t.Errorf("heron is given the tape, which %q holds", got)
	}
}

// What is plugged into a line that is on its way back is claimed anew, before the table has it back.
func TestALineIsPluggedWhileItIsGivenBack(t *testing.T) {
	b := newBuilding(t)
	north, l := b.givesBack(func(*lossy, func() (border.View, error)) (border.View, error) {
		return border.View{}, border.ErrUnreached
	})
	b.wait("the tape is on its way back", l.released)
	b.do(north, keep.Act{Do: keep.Plugged, A: point(t, "core/t5"), B: point(t, "core/t1")}, nil)
	b.wait("the tape is claimed anew", l.claimed)
	if got := b.holder(); got != "live" {
		t.Errorf("the tape is plugged by live, and %q holds it", got)
	}
}

// A host whose process ends between the release and its answer does not go by the tape after the next
// start either, though the table, as far as it knows, has it as held; and where nothing can be written
// down, nothing is given back.
func TestAStartAfterALostAnswer(t *testing.T) {
	b := newBuilding(t)
	b.memo = &gate.Memo{File: filepath.Join(t.TempDir(), gate.MemoName), Identity: func() string { return "one" }}
	_, l := b.givesBack(func(_ *lossy, carry func() (border.View, error)) (border.View, error) {
		_, err := carry()
		return border.View{}, errors.Join(border.ErrUnreached, err)
	})
	b.wait("the tape is given back", l.released)
	known, err := b.memo.Load()
	if err != nil || known.Identity != "one" || known.Table.Holds["tape"].Room != "" || !slices.Equal(known.Returning, []border.Place{"tape"}) {
		t.Fatalf("it knows %+v, %v", known, err)
	}
	late := newBuilding(t)
	late.returning = known.Returning
	claim := border.Act{Do: border.ToClaim, Room: "live", Number: 1, Session: "heron", Places: []border.Place{"tape"}}
	if _, err := late.table.Act(t.Context(), claim); err != nil {
		t.Fatal(err)
	}
	north := late.host("north")
	late.do(north, recall("heron"), nil)
	view, err := late.table.View(t.Context())
	if err != nil || view.Table.Holds["tape"].Number < 2 {
		t.Errorf("heron is given the tape, which was not claimed anew: %+v, %v", view.Table.Holds, err)
	}
}

// Where it cannot be written down that a line is on its way back, it stays.
func TestNothingIsGivenBackUnwritten(t *testing.T) {
	b := newBuilding(t)
	folder := t.TempDir()
	b.memo = &gate.Memo{File: filepath.Join(folder, "none", gate.MemoName), Identity: func() string { return "one" }}
	north, l := b.givesBack(func(_ *lossy, carry func() (border.View, error)) (border.View, error) { return carry() })
	b.do(north, keep.Act{Do: keep.Plugged, A: point(t, "core/t5"), B: point(t, "core/t1")}, nil)
	b.do(north, keep.Act{Do: keep.Pulled, A: point(t, "core/t5")}, nil)
	if got := b.holder(); got != "live" || len(l.released) > 0 {
		t.Errorf("with nowhere to write the tape is given back: %q holds it", got)
	}
	if err := os.Mkdir(filepath.Join(folder, "none"), 0o755); err != nil {
		t.Fatal(err)
	}
	b.do(north, keep.Act{Do: keep.Plugged, A: point(t, "core/t5"), B: point(t, "core/t1")}, nil)
	b.do(north, keep.Act{Do: keep.Pulled, A: point(t, "core/t5")}, nil)
	b.free()
}

// Of two rooms of a host the one that has a line on its way back claims it anew, whichever of them it is
// wanted for.
func TestALineOfTheOtherRoom(t *testing.T) {
	b := newBuilding(t)
	b.house = house.House{Name: "House", Hosts: []house.Host{{Name: "north", Rooms: []string{"live", "mix"}}}}
	north, l := b.givesBack(func(*lossy, func() (border.View, error)) (border.View, error) {
		return border.View{}, border.ErrUnreached
	})
	b.wait("the tape is on its way back", l.released)
	b.do(north, recall("tern"), nil)
	b.wait("the tape is claimed anew", l.claimed)
	if got := b.holder(); got != "live" && got != "mix" {
		t.Errorf("tern is given the tape, which %q holds", got)
	}
}
