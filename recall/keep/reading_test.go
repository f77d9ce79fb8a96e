package keep_test

import (
	"context"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/model/session"
	"bayhand/recall/keep"
)

// slowFiles are read when they are let; reads notes which sessions each reading is for.
type slowFiles struct {
	*bench
	let   chan struct{}
	reads chan []string
}

func (s slowFiles) load(ctx context.Context, sessions []string) keep.Files {
	s.reads <- sessions
	select {
	case <-s.let:
	case <-ctx.Done():
	}
	f := s.bench.read(ctx, sessions)
	all := f.Sessions
	f.Sessions = map[string]*session.Session{}
	for _, name := range sessions {
		f.Sessions[name] = all[name]
	}
	return f
}

// onSlowFiles is a bench whose files are read when they are let, once they were at the
// start.
func onSlowFiles(t *testing.T, test func(b *bench, s slowFiles)) {
	onBench(t, func(b *bench) {
		s := slowFiles{b, make(chan struct{}), make(chan []string, 100)}
		config := b.config()
		config.Load = s.load
		b.startWith(config)
		s.let <- struct{}{}
		b.status()
		test(b, s)
	})
}

// While a file system does not answer, hands are taken in and the loop comes round; a
// recall waits, and needs a reading that began after it was asked for.
func TestFilesAreReadBesideTheLoop(t *testing.T) {
	onSlowFiles(t, func(b *bench, s slowFiles) {
		b.keeper.Look()
		synctest.Wait()
		recall := b.later(ctx, recallOf("tern"))
		for _, j := range []string{"t7", "t8"} {
			if err := b.outcome(b.later(ctx, keep.Act{Do: keep.Faulty, A: jack(j)})); err != nil {
				t.Error(err)
			}
		}
		if err := b.keeper.Ping(ctx); err != nil {
			t.Error(err)
		}
		if at := b.status(); len(at.Tags) != 2 || at.Session != "" {
			t.Errorf("%d jacks are tagged, and %s is held", len(at.Tags), at.Session)
		}
		s.let <- struct{}{} // the reading of the look, which began before
		synctest.Wait()
		if at := b.status(); at.Session != "" || len(s.reads) != 3 {
			t.Errorf("%s is held after %d readings", at.Session, len(s.reads))
		}
		s.let <- struct{}{}
		if err := b.outcome(recall); err != nil || b.status().Session != "tern" {
			t.Errorf("%v, and %s is held", err, b.status().Session)
		}
	})
}

// Who looks at the files while a recall is being planned does not forget its session.
func TestLookKeepsWhatIsPlanned(t *testing.T) {
	onSlowRooms(t, func(b *bench, s *slowly) {
		b.end()
		config := b.config()
		files := slowFiles{b, make(chan struct{}), make(chan []string, 100)}
		close(files.let)
		config.Plan, config.Load = s.plan, files.load
		b.startWith(config)
		concert := b.later(ctx, recallOf("concert"))
		b.keeper.Look()
		synctest.Wait()
		s.let <- struct{}{}
		if err := b.outcome(concert); err != nil {
			t.Error(err)
		}
	})
}

// A keeper ends while a file system does not answer, at its start and later.
func TestEndsWhileReading(t *testing.T) {
	onSlowFiles(t, func(b *bench, s slowFiles) {
		recall := b.later(ctx, recallOf("tern"))
		b.end()
		errorIs(t, b.outcome(recall), keep.ErrStopped)
		config := b.config()
		config.Load = s.load
		b.startWith(config)
		b.end()
	})
}

// A recall waits for a device that does not answer; what hands did meanwhile does not.
func TestHandsPassWhatWaitsForDevices(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.status()
		b.units["far"].change(func(u *unit) { u.silent = true })
		recall := b.later(ctx, recallOf("tern"))
		tag := b.later(ctx, keep.Act{Do: keep.Faulty, A: jack("t7")})
		if err := b.outcome(tag); err != nil {
			t.Error(err)
		}
		select {
		case err := <-recall:
			t.Errorf("the recall waited for nobody: %v", err)
		default:
		}
		if err := <-recall; err != nil {
			t.Error(err)
		}
		if at := b.status(); at.Session != "tern" || len(at.Tags) != 1 {
			t.Errorf("%s is held, and %d jacks are tagged", at.Session, len(at.Tags))
		}
	})
}

// Where a file system does not answer the status says so after a while, at the start too,
// and what goes on meanwhile; devices are polled on, also while a recall waits for files.
func TestLateFilesAreTold(t *testing.T) {
	onSlowFiles(t, func(b *bench, s slowFiles) {
		reads := 0
		b.units["grid"].change(func(u *unit) { u.reads = &reads })
		polled := func() (n int) {
			b.units["grid"].change(func(*unit) { n = reads })
			return n
		}
		recall := b.later(ctx, recallOf("tern"))
		b.pass(time.Second)
		if got := problem(b.status(), "files-late"); got != "" {
			t.Errorf("after a second it says %q", got)
		}
		b.pass(2 * time.Second)
		if got := problem(b.status(), "files-late"); !strings.Contains(got, "What was read before stays in force") {
			t.Errorf("after three it says %q", got)
		}
		before := polled()
		b.pass(time.Minute)
		if got := polled() - before; got < 5 {
			t.Errorf("in a minute the device was polled %d times", got)
		}
		s.let <- struct{}{}
		if err := b.outcome(recall); err != nil || b.status().Session != "tern" {
			t.Errorf("%v, and %s is held", err, b.status().Session)
		}
		if got := problem(b.status(), "files-late"); got != "" {
			t.Errorf("when they are read it says %q", got)
		}
		b.end()
		config := b.config()
		config.Load = s.load
		b.startWith(config)
		b.pass(3 * time.Second)
		if got := problem(b.status(), "files-late"); !strings.Contains(got, "Nothing is driven until they are read") {
			t.Errorf("at the start it says %q", got)
		}
		s.let <- struct{}{}
		synctest.Wait()
		if got := b.status(); problem(got, "files-late") != "" || got.Session != "tern" || got.Studio == "" {
			t.Errorf("once they are read %s is held, and it says %v", got.Session, codes(got))
		}
	})
}
