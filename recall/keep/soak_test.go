package keep_test

import (
	"context"
	"errors"
	"maps"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strconv"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/keep"
	"bayhand/simulators/matrix"
)

// number is a number that the environment sets.
func number(t *testing.T, variable string, usual int) int {
	t.Helper()
	text := os.Getenv(variable)
	if text == "" {
		return usual
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		t.Fatalf("%s=%q is no number", variable, text)
	}
	return n
}

// Simulated days in a room: people who recall, plug, take back and edit, somebody
// at the front panel, a journal that is full for a while, power cuts of either
// side. After each thing that happens nothing is known that is not so, outputs
// were never joined on the way, and each night the room really gives what it is
// asked for. BAYHAND_SOAK is how many days (14 are two weeks), BAYHAND_SOAK_SEED
// the seed of the first of them.
func TestSoak(t *testing.T) {
	days, seed := number(t, "BAYHAND_SOAK", usualDays), number(t, "BAYHAND_SOAK_SEED", 1)
	h := newHouse(t)
	synctest.Test(t, func(t *testing.T) {
		w := h.world(t)
		w.poll = time.Minute
		w.start(0)
		all := w.happenings()
		all["a power cut"] = w.powerCut
		happened := map[string]int{}
		for day := range days {
			w.day(rand.New(rand.NewPCG(uint64(seed+day), 13)), all, happened)
			if t.Failed() {
				w.stop() // what fails is to be read, not that something still runs
				t.Fatalf("on day %d: BAYHAND_SOAK=1 BAYHAND_SOAK_SEED=%d may show it again", day, seed+day)
			}
		}
		w.stop()
		t.Logf("%d days from seed %d: %v, %d writes", days, seed, happened, w.store.Writes())
		for what := range all {
			if happened[what] == 0 && days > 2 {
				t.Errorf("%s never happened", what)
			}
		}
	})
}

// recordedDays are those whose record is held against the table.
const recordedDays = 20

// The keeper's days are those of the table. Where a power cut falls, and what of
// one moment goes into one write, is the scheduler's: so there are no power cuts
// here, and what is recorded is what happened up to each moment at which all wait.
func TestRecord(t *testing.T) {
	h := newHouse(t)
	synctest.Test(t, func(t *testing.T) {
		w := h.world(t)
		w.poll = time.Minute
		w.record = &record{}
		w.start(0)
		var recorded []string
		for day := range recordedDays {
			w.record.begin()
			w.day(rand.New(rand.NewPCG(uint64(1+day), 13)), w.happenings(), map[string]int{})
			recorded = append(recorded, w.record.end(t, day))
		}
		w.stop()
		compareRecord(t, recorded)
	})
}

// happenings are what may happen in a day, power cuts aside.
func (w *world) happenings() map[string]func(*rand.Rand) {
	return map[string]func(*rand.Rand){
		"a recall": func(random *rand.Rand) {
			_, _ = asked(w.keeper, keep.Act{Do: keep.ToRecall, Session: []string{"crossed", "shifted", "straight", keep.RestName}[random.IntN(4)]})
		},
		"some moves": func(random *rand.Rand) {
			if s, err := w.keeper.Status(ctx); err == nil {
				w.doSome(s, 1+random.IntN(4))
			}
		},
		"an undo":  func(*rand.Rand) { _, _ = asked(w.keeper, keep.Act{Do: keep.ToUndo}) },
		"an edit":  w.edit,
		"a hand":   w.foreign(w.turnSome),
		"a device": w.foreign(func(*rand.Rand) { w.relays.Restart() }),
		"a full disk": func(random *rand.Rand) {
			w.setFull(errors.New("no space left"))
			_, _ = asked(w.keeper, keep.Act{Do: keep.ToRecall, Session: "crossed"})
			w.pass(time.Duration(random.IntN(120)) * time.Second)
			w.setFull(nil)
			w.pass(2 * time.Minute)
		},
	}
}

func (w *world) powerCut(random *rand.Rand) {
	w.mu.Lock()
	w.deadline = w.points + 1 + random.IntN(200)
	w.mu.Unlock()
	w.pass(time.Minute)
}

func (w *world) day(random *rand.Rand, all map[string]func(*rand.Rand), happened map[string]int) {
	names := slices.Sorted(maps.Keys(all))
	for range 8 + random.IntN(12) {
		what := names[random.IntN(len(names))]
		happened[what]++
		all[what](random)
		if w.isDead() {
			w.again()
		}
		w.pass(time.Duration(random.IntN(90)) * time.Minute)
		if s, err := w.keeper.Status(ctx); err == nil {
			w.mu.Lock()
			w.knowsNothingElse(s.Known)
			w.mu.Unlock()
			w.record.stood(s)
		}
	}
	w.mu.Lock()
	w.deadline = 0 // the night is quiet
	w.mu.Unlock()
	if w.isDead() {
		w.again()
	}
	w.finish()
}

// again starts the next keeper after a power cut.
func (w *world) again() {
	w.stop()
	w.start(0)
	w.first()
}

func (w *world) pass(d time.Duration) {
	<-time.After(d)
	synctest.Wait()
}

func (w *world) setFull(why error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.full = why
}

// edit makes a session ask for what another one asked for.
func (w *world) edit(random *rand.Rand) {
	names := slices.Sorted(maps.Keys(w.files.Sessions))
	to, from := names[random.IntN(len(names))], names[random.IntN(len(names))]
	edited := *w.files.Sessions[from]
	edited.Name = to
	sessions := maps.Clone(w.files.Sessions)
	sessions[to] = &edited
	w.mu.Lock()
	w.files.Sessions = sessions
	w.mu.Unlock()
	w.keeper.Look()
	synctest.Wait()
}

// read gives the files as they are at that time.
func (w *world) read(context.Context, []string) keep.Files {
	w.mu.Lock()
	defer w.mu.Unlock()
	f := w.files
	f.Sessions = map[string]*session.Session{}
	maps.Copy(f.Sessions, w.files.Sessions)
	return f
}

// foreign is a change of the relays that the keeper did not make: until it has
// read them again it cannot know.
func (w *world) foreign(change func(*rand.Rand)) func(*rand.Rand) {
	return func(random *rand.Rand) {
		w.mu.Lock()
		w.blind = true
		change(random)
		w.absorb()
		w.mu.Unlock()
		w.pass(5 * time.Minute)
		w.mu.Lock()
		w.blind = false
		w.mu.Unlock()
	}
}

// turnSome opens a crosspoint that is closed, as a hand at the panel does.
func (w *world) turnSome(random *rand.Rand) {
	if closed := w.relays.State(); len(closed) > 0 {
		if err := w.relays.Open(matrix.Front, closed[random.IntN(len(closed))]); err != nil {
			w.t.Error(err)
		}
	}
}

// absorb takes what the relays went through for so, without a word against it.
func (w *world) absorb() {
	for _, e := range w.relays.History(w.seen) {
		w.seen = e.Number
		w.closed[patch.Crosspoint{Output: out(int(e.Crosspoint.Output)), Input: in(int(e.Crosspoint.Input))}] = e.Closed
	}
}

// A day in which nobody does anything leaves no trace: not in the journal, not in
// memory, not in what runs.
func TestDayWithoutGrowth(t *testing.T) {
	onBench(t, func(b *bench) {
		config := b.config()
		config.Poll = time.Minute
		b.startWith(config)
		b.recall("plain")
		b.pass(time.Hour)
		writes, running, held := b.journal.Writes(), runtime.NumGoroutine(), heap()
		reads := 0
		b.units["grid"].change(func(u *unit) { u.reads = &reads })
		b.pass(24 * time.Hour)
		if reads != 24*60 {
			t.Errorf("read %d times in a day", reads)
		}
		if n := b.journal.Writes(); n != writes {
			t.Errorf("%d writes in an idle day", n-writes)
		}
		if n := runtime.NumGoroutine(); n > running {
			t.Errorf("%d goroutines, and %d a day before", n, running)
		}
		// A kilobyte a read would be 1.4 MB.
		if now := heap(); now > held+1<<20 {
			t.Errorf("%d bytes are held, and %d a day before", now, held)
		}
	})
}

// heap is how much memory is held.
func heap() uint64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
