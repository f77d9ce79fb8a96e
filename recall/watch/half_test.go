package watch

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/fsnotify/fsnotify"
)

const settleTime = 70 * time.Millisecond

// pollTime is how often a watch looks that is told nothing.
const pollTime = 3 * time.Minute

// refuseEvents is a system that has no watches left.
func refuseEvents(t *testing.T) {
	was := newEvents
	t.Cleanup(func() { newEvents = was })
	newEvents = func() (*fsnotify.Watcher, error) { return nil, syscall.EMFILE }
}

// begun runs a watch of one folder whose clock the test has.
func begun(t *testing.T, o Options) (asked chan timer, looks chan struct{}) {
	t.Helper()
	asked, looks = make(chan timer, 10_000), make(chan struct{}, 10_000)
	ctx, cancel := context.WithCancel(context.Background())
	ready, ended := make(chan struct{}), make(chan error, 1)
	o.Quiet, o.Settle, o.Slow, o.Clock, o.Ready = quietTime, settleTime, slowTime, clock{asked}, func() { close(ready) }
	go func() { ended <- Run(ctx, o, func() { looks <- struct{}{} }) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	<-ready
	return asked, looks
}

// next is the next timer that is asked for and is not one of those.
func next(t *testing.T, asked chan timer, but ...time.Duration) timer {
	t.Helper()
	for {
		select {
		case a := <-asked:
			skip := false
			for _, d := range but {
				skip = skip || a.d == d
			}
			if !skip {
				return a
			}
		case <-time.After(tooLong):
			t.Fatal("no timer is asked for")
		}
	}
}

// A file that was emptied and of which half is written waits until it has stood
// still for longer; once it is whole the usual moment is enough.
func TestHalfSavedFileWaits(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tern.yaml")
	write(t, file, "one\ntwo\nthree\n")
	asked, looks := begun(t, Options{Folders: []string{filepath.Dir(file)}})
	next(t, asked) // the slow look
	// It is emptied, half of it is written, and whoever writes it has it open still.
	writer, err := os.Create(file)
	must(t, err)
	defer writer.Close()
	_, err = writer.WriteString("on")
	must(t, err)
	for next(t, asked).d != settleTime {
	}
	if latest := next(t, asked, settleTime); latest.d != 5*settleTime {
		t.Errorf("it is looked at after %v at the latest", latest.d)
	}
	select {
	case <-looks:
		t.Fatal("looked at half a file")
	default:
	}
	_, err = writer.WriteString("e\ntwo\nthree\n")
	must(t, err)
	must(t, writer.Close())
	for late := time.After(tooLong); ; {
		select {
		case a := <-asked:
			if a.d == quietTime {
				a.fire <- time.Time{} // the last of them counts
			}
		case <-looks:
			return
		case <-late:
			t.Fatal("nobody looked")
		}
	}
}

// A smaller file that is renamed to its place is whole at once.
func TestSmallerFileRenamedIsWhole(t *testing.T) {
	folder := t.TempDir()
	file, other := filepath.Join(folder, "tern.yaml"), filepath.Join(t.TempDir(), "new")
	write(t, file, "one\ntwo\nthree\n")
	write(t, other, "one\n")
	asked, _ := begun(t, Options{Folders: []string{folder}})
	next(t, asked)
	must(t, os.Rename(other, file))
	if quiet := next(t, asked); quiet.d != quietTime {
		t.Errorf("it waits %v", quiet.d)
	}
}

// A take that is being recorded in the studio's folder delays nothing, and wakes
// nobody.
func TestOtherFilesAreNotFollowed(t *testing.T) {
	folder := t.TempDir()
	came := make(chan struct{}, 10)
	asked, _ := begun(t, Options{Folders: []string{folder}, Matters: func(f string) bool {
		if filepath.Base(f) == "last.yaml" {
			came <- struct{}{}
		}
		return f == filepath.Join(folder, "tern.yaml")
	}})
	next(t, asked)
	take, err := os.Create(filepath.Join(folder, "take.wav"))
	must(t, err)
	for range 100 {
		_, err := take.WriteString("sound")
		must(t, err)
	}
	must(t, take.Close())
	write(t, filepath.Join(folder, "last.yaml"), "text")
	<-came // so that all before it has been seen
	if len(asked) != 0 {
		t.Errorf("%d timers are asked for", len(asked))
	}
	write(t, filepath.Join(folder, "tern.yaml"), "text")
	if quiet := next(t, asked); quiet.d != quietTime {
		t.Errorf("it waits %v", quiet.d)
	}
}

// Changes without a pause are looked at all the same.
func TestChangesWithoutPause(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tern.yaml")
	asked, looks := begun(t, Options{Folders: []string{filepath.Dir(file)}})
	next(t, asked)
	f, err := os.Create(file)
	must(t, err)
	defer f.Close()
	_, err = f.WriteString("more")
	must(t, err)
	latest := next(t, asked, quietTime)
	for range 20 {
		_, err := f.WriteString("more")
		must(t, err)
	}
	latest.fire <- time.Time{}
	select {
	case <-looks:
	case <-time.After(tooLong):
		t.Fatal("nobody looked")
	}
}

// A system that has no watches left is told of, and looked at more often.
func TestNoWatchesLeft(t *testing.T) {
	refuseEvents(t)
	told := make(chan error, 1)
	asked, looks := begun(t, Options{Folders: []string{t.TempDir()}, Poll: pollTime, Polling: func(why error) { told <- why }})
	if why := <-told; !errors.Is(why, syscall.EMFILE) {
		t.Errorf("told of %v", why)
	}
	for range 3 {
		slow := next(t, asked)
		if slow.d != pollTime {
			t.Fatalf("it looks every %v", slow.d)
		}
		slow.fire <- time.Time{}
		<-looks
	}
}

// Where nothing is told, a file that is found smaller is looked at once its size and
// time have stood still.
func TestHalfSavedFileWaitsWithoutEvents(t *testing.T) {
	refuseEvents(t)
	file := filepath.Join(t.TempDir(), "tern.yaml")
	write(t, file, "one\ntwo\nthree\n")
	asked, looks := begun(t, Options{Folders: []string{filepath.Dir(file)}, Poll: pollTime})
	slow := next(t, asked)
	write(t, file, "one\n")
	slow.fire <- time.Time{}
	first := next(t, asked, 5*settleTime, pollTime)
	if first.d != settleTime {
		t.Fatalf("it waits %v", first.d)
	}
	write(t, file, "one\ntwo\n") // it is written on
	first.fire <- time.Time{}
	second := next(t, asked, 5*settleTime, pollTime)
	if len(looks) > 0 {
		t.Fatal("looked at half a file")
	}
	second.fire <- time.Time{}
	select {
	case <-looks:
	case <-time.After(tooLong):
		t.Fatal("nobody looked")
	}
}

// A watch that hangs in the file system ends all the same when it is to end.
func TestRunEndsWhateverHangs(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tern.yaml")
	asked := make(chan timer, 100)
	ctx, cancel := context.WithCancel(context.Background())
	hangs, free, ended := make(chan struct{}), make(chan struct{}), make(chan error, 1)
	go func() {
		ended <- Run(ctx, Options{Folders: []string{filepath.Dir(file)}, Clock: clock{asked}, Quiet: quietTime, Slow: slowTime}, func() {
			close(hangs)
			<-free
		})
	}()
	next(t, asked).fire <- time.Time{} // the slow look
	<-hangs
	cancel()
	next(t, asked).fire <- time.Time{} // nobody waits longer
	must(t, <-ended)
	close(free)
}
