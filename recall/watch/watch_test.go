package watch

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"bayhand/simulators/leaks"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

const (
	quietTime = 7 * time.Millisecond
	slowTime  = time.Hour
	// Only a test that fails waits this long.
	tooLong = time.Minute
)

// clock hands its timers to the test, which alone lets them fire.
type clock struct{ asked chan timer }

type timer struct {
	d    time.Duration
	fire chan time.Time
}

func (c clock) Timer(d time.Duration) (<-chan time.Time, func()) {
	t := timer{d, make(chan time.Time, 1)}
	c.asked <- t
	return t.fire, func() {}
}

type watched struct {
	t       *testing.T
	clock   clock
	looks   chan struct{}
	missing chan []string
	slow    timer
}

func watching(t *testing.T, folders ...string) *watched {
	t.Helper()
	w := &watched{
		t: t, clock: clock{make(chan timer, 1000)}, looks: make(chan struct{}, 1000), missing: make(chan []string, 1000),
	}
	ctx, cancel := context.WithCancel(context.Background())
	ready, ended := make(chan struct{}), make(chan error, 1)
	go func() {
		ended <- Run(ctx, Options{
			Folders: folders, Quiet: quietTime, Slow: slowTime, Clock: w.clock,
			Missing: func(f []string) { w.missing <- f }, Ready: func() { close(ready) },
		}, func() { w.looks <- struct{}{} })
	}()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	<-ready
	w.slow = <-w.clock.asked
	if w.slow.d != slowTime {
		t.Fatalf("the first timer is of %v", w.slow.d)
	}
	return w
}

// until lets the quiet moments pass until a look finds what the test wants.
func (w *watched) until(found func() bool) {
	w.t.Helper()
	late := time.After(tooLong)
	for {
		select {
		case t := <-w.clock.asked:
			t.fire <- time.Time{}
		case <-w.looks:
			if found() {
				return
			}
		case <-late:
			w.t.Fatal("nobody looked")
		}
	}
}

func holds(file, want string) func() bool {
	return func() bool {
		got, err := os.ReadFile(file)
		return err == nil && string(got) == want
	}
}

func write(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestWaysOfSaving(t *testing.T) {
	for _, c := range []struct {
		name string
		save func(t *testing.T, file string)
	}{
		{"emptied and written", func(t *testing.T, file string) { write(t, file, "new") }},
		{"a new file renamed over it", func(t *testing.T, file string) {
			write(t, file+".tmp", "new")
			must(t, os.Rename(file+".tmp", file))
		}},
		{"the old one moved away first", func(t *testing.T, file string) {
			must(t, os.Rename(file, file+"~"))
			write(t, file, "new")
		}},
		{"in pieces", func(t *testing.T, file string) {
			f, err := os.Create(file)
			must(t, err)
			for _, piece := range []string{"n", "e", "w"} {
				_, err := f.WriteString(piece)
				must(t, err)
				must(t, f.Sync())
			}
			must(t, f.Close())
		}},
		{"removed and made again", func(t *testing.T, file string) {
			must(t, os.Remove(file))
			write(t, file, "new")
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "studio.yaml")
			write(t, file, "old")
			w := watching(t, filepath.Dir(file))
			c.save(t, file)
			w.until(holds(file, "new"))
			write(t, file, "newer") // the watch survived it
			w.until(holds(file, "newer"))
		})
	}
}

func TestNoLookBeforeQuiet(t *testing.T) {
	file := filepath.Join(t.TempDir(), "studio.yaml")
	w := watching(t, filepath.Dir(file))
	write(t, file, "text")
	first := <-w.clock.asked
	if first.d != quietTime {
		t.Fatalf("waits %v after a change", first.d)
	}
	select {
	case <-w.looks:
		t.Fatal("looked before the folder was quiet")
	default:
	}
	first.fire <- time.Time{}
	w.until(holds(file, "text"))
}

func TestSlowLook(t *testing.T) {
	w := watching(t, t.TempDir())
	w.slow.fire <- time.Time{}
	select {
	case <-w.looks:
	case <-time.After(tooLong):
		t.Fatal("no slow look")
	}
	select {
	case again := <-w.clock.asked:
		if again.d != slowTime {
			t.Errorf("the next slow look is after %v", again.d)
		}
	case <-time.After(tooLong):
		t.Fatal("no second slow look is planned")
	}
}

func TestMissingFolderComes(t *testing.T) {
	top := t.TempDir()
	folder := filepath.Join(top, "a", "sessions")
	w := watching(t, top, folder)
	if got := <-w.missing; !slices.Equal(got, []string{folder}) {
		t.Fatalf("missing: %q", got)
	}
	must(t, os.MkdirAll(folder, 0o755))
	w.until(func() bool { return len(w.missing) > 0 })
	if got := <-w.missing; len(got) != 0 {
		t.Fatalf("still missing: %q", got)
	}
	file := filepath.Join(folder, "tern.yaml")
	write(t, file, "text")
	w.until(holds(file, "text"))
}

func TestFolderGoesAndComes(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "sessions")
	must(t, os.Mkdir(folder, 0o755))
	w := watching(t, folder)
	must(t, os.Rename(folder, folder+".old"))
	w.until(func() bool { return len(w.missing) > 0 })
	if got := <-w.missing; !slices.Equal(got, []string{folder}) {
		t.Fatalf("missing: %q", got)
	}
	must(t, os.Mkdir(folder, 0o755))
	w.until(func() bool { return len(w.missing) > 0 })
	file := filepath.Join(folder, "tern.yaml")
	write(t, file, "text")
	w.until(holds(file, "text"))
}

func TestWrongUse(t *testing.T) {
	if err := Run(t.Context(), Options{Folders: []string{"."}}, func() {}); err == nil {
		t.Error("runs without a clock")
	}
	if err := Run(t.Context(), Options{Clock: clock{}}, func() {}); err == nil {
		t.Error("runs without a folder")
	}
}

func TestWithin(t *testing.T) {
	for _, c := range []struct {
		folder, above string
		want          bool
	}{
		{"/a/b", "/a", true}, {"/a/b", "/a/b", true}, {"/a/b", "/a/b/c", false}, {"/a/bc", "/a/b", false}, {"/x", "/a", false},
	} {
		if got := within(filepath.FromSlash(c.folder), filepath.FromSlash(c.above)); got != c.want {
			t.Errorf("within(%s, %s) = %v", c.folder, c.above, got)
		}
	}
}
