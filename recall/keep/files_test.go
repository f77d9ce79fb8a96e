package keep_test

import (
	"context"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/keep"
)

func TestBrokenFileThenMended(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		s := b.recall("tern")
		left := steps(s.Left)
		good := b.files
		broken := keep.Files{Problems: []keep.Problem{{Code: "yaml", Severity: "error", Message: "studio.yaml:3:1: what is this"}}}
		b.set(func() { b.files = broken })
		b.keeper.Look()
		s = b.status()
		b.wants(s, keep.Waiting, left)
		if !slices.Contains(codes(s), "yaml") || !slices.Contains(codes(s), "session-unread") {
			t.Errorf("problems %v", codes(s))
		}
		b.tick("3") // work goes on meanwhile
		b.pass(time.Minute)
		asked := len(b.planner.asks)
		b.set(func() { b.files = good })
		b.keeper.Look()
		s = b.status()
		if len(codes(s)) > 0 || len(b.planner.asks) != asked {
			t.Errorf("problems %v, planned %d times more", codes(s), len(b.planner.asks)-asked)
		}
		b.wants(b.tick("4"), keep.Given, "")
	})
}

func TestSessionFileGone(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		without := b.files
		without.Sessions = map[string]*session.Session{"heron": b.files.Sessions["heron"]}
		b.set(func() { b.files = without })
		b.keeper.Look()
		s := b.status()
		b.wants(s, keep.Given, "")
		if !slices.Equal(codes(s), []string{"session-unread"}) {
			t.Errorf("problems %v", codes(s))
		}
		b.holds(cross(1, 1), cross(2, 2))
		// Even after a restart it is kept, and put back where it was turned.
		b.end()
		b.units["grid"].turn(out(1), in(4))
		b.start()
		b.wants(b.status(), keep.Given, "")
		b.holds(cross(1, 1), cross(2, 2))
	})
}

func TestSessionMeansSomethingElse(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		b.tick("3")
		b.set(func() {
			b.planner.targets["tern"] = patch.Patch{Cords: []patch.Cord{cord("t1", "b1")}, Crosspoints: []patch.Crosspoint{cross(1, 4)}}
			changed := *b.files.Sessions["tern"]
			changed.Silent = []name.Point{jack("b8")}
			b.files.Sessions = map[string]*session.Session{"tern": &changed}
		})
		b.keeper.Look()
		b.pass(time.Second)
		s := b.status()
		b.wants(s, keep.Given, "")
		b.holds(cross(1, 4))
		if s.Recall != 1 || usedTwice(s) != "" {
			t.Errorf("recall %d, step %q used twice", s.Recall, usedTwice(s))
		}
	})
}

// Notes, labels and the kept patch are no reason for a new way.
func TestSameMeaning(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		asked := len(b.planner.asks)
		b.set(func() {
			noted := *b.files.Sessions["tern"]
			noted.Notes, noted.Patch = "louder", &patch.Patch{}
			noted.Wants = slices.Clone(noted.Wants)
			noted.Wants[0].Label, noted.Wants[0].Key = "vocal", "connect[9]"
			b.files.Sessions = map[string]*session.Session{"tern": &noted}
		})
		b.keeper.Look()
		b.pass(time.Second)
		if got := len(b.planner.asks); got != asked {
			t.Errorf("planned %d times more", got-asked)
		}
	})
}

func TestNoStudioAtFirst(t *testing.T) {
	onBench(t, func(b *bench) {
		good := b.files
		b.files = keep.Files{Problems: []keep.Problem{{Code: "yaml", Severity: "error", Message: "studio.yaml:1:1: no studio"}}}
		b.start()
		b.wants(b.status(), keep.Idle, "")
		_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain"})
		errorIs(t, err, keep.ErrNoStudio)
		_, err = asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t1"), B: jack("b1")})
		errorIs(t, err, keep.ErrNoStudio)
		b.set(func() { b.files = good })
		b.keeper.Look()
		b.status()
		b.wants(b.recall("plain"), keep.Given, "")
	})
}

func TestStudioLosesAMatrixAndAJack(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("tern")
		if _, err := asked(b.keeper, keep.Act{Do: keep.Plugged, A: jack("t8"), B: jack("b8")}); err != nil {
			t.Fatal(err)
		}
		smaller := room()
		smaller.Matrices = smaller.Matrices[:1]
		smaller.Bays[0].Modes = smaller.Bays[0].Modes[:7]
		b.set(func() {
			b.files.Studio = smaller
			b.planner.targets["tern"] = b.planner.targets["plain"]
		})
		b.keeper.Look()
		b.pass(time.Second)
		s := b.status()
		if b.units["far"].opened != 0 || len(s.Matrices) != 1 {
			t.Errorf("%d links to far, matrices %v", b.units["far"].opened, s.Matrices)
		}
		if problem(s, "unknown-place") == "" {
			t.Errorf("problems %v", codes(s))
		}
		last := b.planner.asks[len(b.planner.asks)-1]
		for _, c := range last.From.Cords {
			if c.Same(cord("t8", "b8")) {
				t.Error("planned with a cord in a jack that is not there")
			}
		}
		for _, c := range last.From.Crosspoints {
			if c.Output.Owner == "far" {
				t.Errorf("planned with %v of a matrix that is not there", c)
			}
		}
		b.wants(s, keep.Given, "")
		// What is gone is not shown, and not written into a session's file, where it would be
		// an error.
		for _, c := range s.Known.Crosspoints {
			if c.Output.Owner == "far" {
				t.Errorf("shown is %v of a matrix that is not there", c)
			}
		}
		b.recall("plain")
		kept, is := b.kept.of("plain")
		if !is {
			t.Fatal("no patch is kept")
		}
		for _, c := range kept.Crosspoints {
			if c.Output.Owner == "far" {
				t.Errorf("kept is %v of a matrix that is not there", c)
			}
		}
		for _, c := range kept.Cords {
			if c.Same(cord("t8", "b8")) {
				t.Error("kept is a cord in a jack that is not there")
			}
		}
	})
}

// Whatever was written last when the process ended, the next one brings the room
// to the same end and asks nobody twice.
func TestRestartAtEveryWrite(t *testing.T) {
	for n := 1; ; n++ {
		more := false
		onBench(t, func(b *bench) { more = restartAfter(t, b, n) })
		if !more {
			if n < 15 {
				t.Errorf("only %d writes", n)
			}
			return
		}
	}
}

// restartAfter lets the keeper end after its nth write; false where it never
// wrote so much.
func restartAfter(t *testing.T, b *bench, n int) bool {
	b.start()
	b.status()
	told := map[string]bool{}
	say := func(s keep.Status) {
		for _, step := range s.Left {
			if step.By == "person" {
				told[step.Ends[0].String()] = true
				b.tick(step.ID)
			}
		}
	}
	s := b.recall("tern")
	say(s)
	b.pass(time.Minute)
	if b.journal.Writes() < n {
		return false
	}
	b.restart(n)
	s = b.status()
	for _, c := range s.Known.Crosspoints {
		if c.How != keep.Read {
			t.Errorf("write %d: %s is %s after both devices answered", n, c.Output, c.How)
		}
	}
	for _, c := range s.Known.Cords {
		if c.How != keep.Told {
			t.Errorf("write %d: the cord %v is %s", n, c.Ends(), c.How)
		}
	}
	if s.Session == "" {
		return true // it ended before the recall was written
	}
	cords := len(s.Known.Cords)
	moves := 0
	for _, step := range s.Left {
		if step.By == "person" {
			moves++
			b.tick(step.ID)
		}
	}
	if cords+moves != 2 {
		t.Errorf("write %d: %d cords known and %d asked for, where the session has 2", n, cords, moves)
	}
	b.pass(time.Minute)
	s = b.status()
	b.wants(s, keep.Given, "")
	b.holds(cross(1, 1), cross(2, 2), farOne)
	if usedTwice(s) != "" {
		t.Errorf("write %d: step %s used twice", n, usedTwice(s))
	}
	return true
}

// Another link is another device at the other end, and asks for nothing else.
func TestAnotherLink(t *testing.T) {
	onBench(t, func(b *bench) {
		b.start()
		b.recall("plain")
		asked := len(b.planner.asks)
		b.set(func() {
			moved := room()
			moved.Matrices[0].Device.Link = "tcp:elsewhere:1"
			moved.Gear[0].Label = "Loudspeakers"
			b.files.Studio = moved
		})
		b.keeper.Look()
		b.pass(time.Second)
		s := b.status()
		b.wants(s, keep.Given, "")
		if s.Matrices[0].Link != "tcp:elsewhere:1" || len(b.planner.asks) != asked {
			t.Errorf("link %s, planned %d times more", s.Matrices[0].Link, len(b.planner.asks)-asked)
		}
	})
}

func TestProblemsKeepTheirTime(t *testing.T) {
	onBench(t, func(b *bench) {
		b.files.Problems = []keep.Problem{{Code: "yaml", Severity: "warning", Message: "studio.yaml:3:1: what is this"}}
		b.start()
		since := b.status().Problems[0].Since
		b.pass(time.Minute)
		b.keeper.Look()
		b.pass(time.Second)
		if got := b.status().Problems[0].Since; since.IsZero() || !got.Equal(since) {
			t.Errorf("since %v, then since %v", since, got)
		}
	})
}

// While a disk does not answer that a patch is kept on, everything else is done as ever:
// nobody waits for longer than a moment, another session's patch is kept when the disk
// has answered.
func TestAStalledDiskHoldsUpNobody(t *testing.T) {
	onBench(t, func(b *bench) {
		config, answers, tries := b.config(), make(chan struct{}), atomic.Int64{}
		keepPatch := config.KeepPatch
		config.KeepPatch = func(ctx context.Context, session string, p patch.Patch) error {
			tries.Add(1)
			<-answers
			return keepPatch(ctx, session, p)
		}
		b.startWith(config)
		begun := time.Now()
		b.recall("plain")
		if took := time.Since(begun); took > time.Second {
			t.Errorf("a recall took %v", took)
		}
		begun = time.Now()
		b.recall("tern")
		b.allByHand() // given as well, while the first patch is still being written
		if took := time.Since(begun); took > 0 {
			t.Errorf("what comes after took %v", took)
		}
		b.pass(30 * time.Second)
		if _, kept := b.kept.of("plain"); kept || tries.Load() != 1 {
			t.Errorf("kept: %v, after %d tries", kept, tries.Load())
		}
		close(answers)
		b.pass(30 * time.Second)
		for _, session := range []string{"plain", "tern"} {
			if _, kept := b.kept.of(session); !kept {
				t.Errorf("the patch of %s is not kept", session)
			}
		}
		if s := b.status(); problem(s, "keep-patch") != "" || s.Phase != keep.Given {
			t.Errorf("%s: %q", s.Phase, problem(s, "keep-patch"))
		}
	})
}

// A file that somebody is writing is left alone, and its patch is kept when they
// are done: once, and not for a session that is not given any more.
func TestPatchIsKeptLater(t *testing.T) {
	onBench(t, func(b *bench) {
		config, tries := b.config(), atomic.Int64{}
		keepPatch := config.KeepPatch
		config.KeepPatch = func(ctx context.Context, session string, p patch.Patch) error {
			if tries.Add(1) < 4 {
				return keep.ErrLater
			}
			return keepPatch(ctx, session, p)
		}
		b.startWith(config)
		b.recall("plain")
		if _, kept := b.kept.of("plain"); kept || problem(b.status(), "keep-patch") != "" {
			t.Error("kept while somebody was writing, or a problem of it")
		}
		b.pass(time.Minute)
		b.status()
		if _, kept := b.kept.of("plain"); !kept || tries.Load() != 4 {
			t.Errorf("kept: %v, after %d tries", kept, tries.Load())
		}
		tries.Store(0)
		b.recall("tern")
		b.allByHand()
		b.recall("plain") // before the patch of tern could be kept
		b.pass(time.Minute)
		b.status()
		if _, kept := b.kept.of("tern"); kept {
			t.Error("the patch of plain was kept as that of tern")
		}
	})
}
