package keep_test

import (
	"context"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/journal"
	"bayhand/recall/keep"
	"bayhand/simulators/rooms/buildings"
)

// block is a keeper of a building whose rooms are all in sessions, with screens.
type block struct {
	b      *testing.B
	rooms  buildings.Building
	keeper *keep.Keeper
}

// housed starts a keeper with its journal on the disk, recalls a session in every room and
// has all cords reported, then has so many screens follow it.
func housed(b *testing.B, size buildings.Size, screens int) block {
	b.Helper()
	h := block{b: b, rooms: buildings.Draw(size, 1)}
	files := keep.Files{Studio: h.rooms.Studio, Sessions: map[string]*session.Session{}}
	for _, two := range h.rooms.Sessions {
		files.Sessions[two[0].Name], files.Sessions[two[1].Name] = two[0], two[1]
	}
	book, err := journal.Open(filepath.Join(b.TempDir(), journal.File))
	if err != nil {
		b.Fatal(err)
	}
	h.keeper, err = keep.New(keep.Config{
		Open:    func(context.Context, studio.Matrix) (keep.Matrix, error) { return nil, keep.ErrNoAnswer },
		Load:    func(context.Context, []string) keep.Files { return files },
		Plan:    planner.Make,
		Journal: book,
	})
	if err != nil {
		b.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- h.keeper.Run(ctx) }()
	var watching sync.WaitGroup
	b.Cleanup(func() {
		cancel()
		<-ended
		watching.Wait()
		if err := book.Close(); err != nil {
			b.Error(err)
		}
	})
	for r := range h.rooms.Sessions {
		h.recall(r, 0)
		h.allDone()
	}
	for range screens {
		events, err := h.keeper.Events(ctx)
		if err != nil {
			b.Fatal(err)
		}
		watching.Go(func() {
			for range events {
			}
		})
	}
	return h
}

func (h block) act(act keep.Act) keep.Answer {
	got, err := h.keeper.Act(context.Background(), act)
	if err != nil {
		h.b.Error(err)
	}
	return got
}

// recall has a room in one of its two sessions.
func (h block) recall(room, which int) keep.Answer {
	return h.act(keep.Act{Do: keep.ToRecall, Session: h.rooms.Sessions[room][which].Name})
}

func (h block) allDone() {
	for range 20 {
		if got := h.act(keep.Act{Do: keep.WereDone, All: true}); len(got.Status.Left) == 0 {
			return
		}
	}
	h.b.Error("cords are left")
}

// BenchmarkSixtyRooms is a recall in one room of sixty, beside 59 that hold sessions of
// theirs, and ticks in a room while recalls in eight others are planned, with 120 screens
// that follow. Each is told in times of the same plan made alone; the hundredths of ticks
// in milliseconds as well, which are of the machine that it runs on.
func BenchmarkSixtyRooms(b *testing.B) {
	h := housed(b, buildings.Size{Rooms: 60, Matrices: 16, Pairs: 28, Units: 20}, 120)
	alone := h.alone()
	b.Run("recall", func(b *testing.B) {
		var took []time.Duration
		for i := 0; b.Loop(); i++ {
			began := time.Now()
			h.recall(0, 1-i%2)
			took = append(took, time.Since(began))
			h.allDone()
		}
		report(b, "recall", took, alone)
	})
	b.Run("tick", func(b *testing.B) {
		step := h.firstStep()
		stop := h.planEight()
		var took []time.Duration
		for b.Loop() {
			began := time.Now()
			h.act(keep.Act{Do: keep.WereDone, IDs: []string{step}})
			took = append(took, time.Since(began))
			h.act(keep.Act{Do: keep.NotDone, IDs: []string{step}}) // which waits for a plan made anew
		}
		plans := stop()
		report(b, "tick", took, alone)
		b.ReportMetric(float64(plans), "plans")
	})
}

// firstStep is one that a person can do now, in the first room.
func (h block) firstStep() string {
	for which := range 2 {
		for _, s := range h.recall(0, which).Status.Left {
			if s.By == plan.Person && len(s.After) == 0 {
				return s.ID
			}
		}
	}
	h.b.Fatal("no session of the first room leaves a step")
	return ""
}

// alone is how long the plan of a room takes by itself: the studio cut to it.
func (h block) alone() time.Duration {
	b := buildings.Draw(buildings.Size{Rooms: 1, Matrices: 1, Pairs: 28, Units: 20}, 1)
	began := time.Now()
	p, err := planner.Make(context.Background(), plan.Request{Studio: b.Studio, Session: b.Sessions[0][0]})
	if err != nil || !p.Given {
		h.b.Fatal(err)
	}
	return time.Since(began)
}

// planEight has eight rooms look ahead at their other session again and again, until it is
// stopped, and says how many plans were made.
func (h block) planEight() (stop func() int64) {
	ctx, cancel := context.WithCancel(context.Background())
	var at sync.WaitGroup
	var plans atomic.Int64
	for room := 1; room <= 8; room++ {
		at.Go(func() {
			for ctx.Err() == nil {
				act := keep.Act{Do: keep.ToPreview, Session: h.rooms.Sessions[room][1].Name}
				if _, err := h.keeper.Act(ctx, act); err == nil {
					plans.Add(1)
				} else if ctx.Err() == nil {
					h.b.Error(err)
				}
			}
		})
	}
	return func() int64 { cancel(); at.Wait(); return plans.Load() }
}

func report(b *testing.B, what string, took []time.Duration, alone time.Duration) {
	slices.Sort(took)
	at := func(hundredths int) time.Duration { return took[min(len(took)-1, len(took)*hundredths/100)] }
	b.ReportMetric(float64(at(50))/float64(alone), what+"/plan")
	b.ReportMetric(float64(at(50).Microseconds())/1000, "ms-50")
	b.ReportMetric(float64(at(99).Microseconds())/1000, "ms-99")
}
