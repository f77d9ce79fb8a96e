package journal

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bayhand/recall/keep"
)

// lengthy is a journal with many events, the first from noon on, one a second.
func lengthy(t *testing.T, count int) *Journal {
	t.Helper()
	j, err := Open(filepath.Join(t.TempDir(), File))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = j.Close() })
	noon := time.Date(2031, 5, 4, 12, 0, 0, 0, time.UTC)
	events := make([]keep.Event, count)
	for n := range events {
		events[n] = keep.Event{At: noon.Add(time.Duration(n) * time.Second), Text: strings.Repeat("x", 1000)}
	}
	if err := j.Write(full(), events); err != nil {
		t.Fatal(err)
	}
	return j
}

// writingMeanwhile writes events until do has ended, so many at most, and says how many. After
// each it looks.
func writingMeanwhile(t *testing.T, j *Journal, most int, do func() error, look func()) (written int) {
	t.Helper()
	ended := make(chan error, 1)
	go func() { ended <- do() }()
	for {
		select {
		case err := <-ended:
			if err != nil {
				t.Error(err)
			}
			return written
		default:
		}
		if written == most {
			if err := <-ended; err != nil {
				t.Error(err)
			}
			return written
		}
		if err := j.Write(full(), []keep.Event{{Text: "meanwhile"}}); err != nil {
			t.Fatal(err)
		}
		written++
		look()
	}
}

// What is written while a long history is forgotten waits for a piece of it, not for all.
func TestPruneLetsWritesIn(t *testing.T) {
	const count = 30_000
	j := lengthy(t, count)
	last, pruned := time.Date(2032, 1, 1, 0, 0, 0, 0, time.UTC), 0
	begins := map[uint64]bool{} // with which event the history begins, while some are forgotten
	writingMeanwhile(t, j, math.MaxInt, func() (err error) {
		pruned, err = j.Prune(last, keep.Event{At: last, By: "ann"})
		return err
	}, func() {
		first, err := j.Find(keep.Query{First: 1})
		if err != nil || len(first) == 0 {
			t.Fatal(first, err)
		}
		if at := first[0].Seq; at > 1 && at <= count {
			begins[at] = true
		}
	})
	// A write that came after the first piece has the second look. A sync.Mutex hands over to
	// who has waited for longer than a millisecond.
	if len(begins) < 2 {
		t.Errorf("writes found %d stages of %d pieces", len(begins), count/pruneAtOnce)
	}
	if pruned < count {
		t.Errorf("%d of %d are forgotten", pruned, count)
	}
	if err := errors.Join(j.Close(), Check(j.file)); err != nil {
		t.Error(err)
	}
}

// A backup that is made while the journal is written, and a copy by another process, are
// each the journal of one moment.
func TestCopiesWhileItIsWritten(t *testing.T) {
	j := lengthy(t, 20_000)
	backup, other := j.file+BackupEnding, filepath.Join(t.TempDir(), "kept.db")
	for file, c := range map[string]struct {
		most int // the process that holds it knows of each write; another one needs a while without
		do   func() error
	}{
		backup: {math.MaxInt, func() error { return j.BackUp(t.Context()) }},
		other:  {20, func() error { _, err := Copy(j.file, other); return err }},
	} {
		if written := writingMeanwhile(t, j, c.most, c.do, func() {}); written < 2 {
			t.Errorf("%s: %d were written meanwhile", filepath.Base(file), written)
		}
		if err := Check(file); err != nil {
			t.Errorf("%s: %v", filepath.Base(file), err)
		}
	}
	for _, folder := range []string{filepath.Dir(backup), filepath.Dir(other)} {
		if left, _ := filepath.Glob(filepath.Join(folder, "*"+unfinished+"*")); len(left) > 0 {
			t.Errorf("left are %q", left)
		}
	}
}

// The backup of a large journal is made beside what is written, and ends with it.
func TestBackUpBeside(t *testing.T) {
	j := lengthy(t, 20_000)
	if info, err := os.Stat(j.file); err != nil || info.Size() <= soonCopied {
		t.Fatalf("it is not large: %v, %v", info, err)
	}
	failed := func(err error) { t.Error(err) }
	j.BackUpBeside(failed)
	j.copying.Wait()
	if err := Check(j.file + BackupEnding); err != nil {
		t.Error(err)
	}
	writeOnce(t, j, "later")
	j.BackUpBeside(failed) // which may be stopped anywhere
	if err := errors.Join(j.Close(), Check(j.file+BackupEnding)); err != nil {
		t.Error(err)
	}
	if left, _ := filepath.Glob(j.file + BackupEnding + unfinished + "*"); len(left) > 0 {
		t.Errorf("left are %q", left)
	}
}

// A backup that is stopped leaves nothing, and the one before in its place.
func TestStoppedBackUp(t *testing.T) {
	j := lengthy(t, 10)
	if err := j.BackUp(t.Context()); err != nil {
		t.Fatal(err)
	}
	before, err := os.Stat(j.file + BackupEnding)
	if err != nil {
		t.Fatal(err)
	}
	writeOnce(t, j, "later")
	stopped, stop := context.WithCancel(t.Context())
	stop()
	if err := j.BackUp(stopped); !errors.Is(err, context.Canceled) {
		t.Errorf("it ended with %v", err)
	}
	if after, err := os.Stat(j.file + BackupEnding); err != nil || !os.SameFile(before, after) {
		t.Errorf("the backup before is gone: %v", err)
	}
	if left, _ := filepath.Glob(j.file + "*" + unfinished + "*"); len(left) > 0 {
		t.Errorf("left are %q", left)
	}
}

// What a copy leaves that was killed is taken away by the next one to the same file, and
// nothing else.
func TestKilledCopyIsTakenAway(t *testing.T) {
	j := lengthy(t, 10)
	kept := filepath.Join(t.TempDir(), "kept.db")
	theirs := []string{kept + ".unfinished-mix", kept + ".unfinished-", kept + "-2.unfinished-17", kept + ".new-17"}
	left := []string{kept + ".unfinished-170", j.file + BackupEnding + ".unfinished-18", j.file + BackupEnding + ".new-19"}
	for _, file := range slices.Concat(theirs, left) {
		if err := os.WriteFile(file, nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	_, err := Copy(j.file, kept)
	if err := errors.Join(err, j.BackUp(t.Context())); err != nil {
		t.Fatal(err)
	}
	for _, file := range theirs {
		if _, err := os.Stat(file); err != nil {
			t.Error(err)
		}
	}
	for _, file := range left {
		if _, err := os.Stat(file); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("%s is still there: %v", filepath.Base(file), err)
		}
	}
}
