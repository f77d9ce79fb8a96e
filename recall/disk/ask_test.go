package disk

import (
	"errors"
	"fmt"
	"path/filepath"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/simulators/leaks"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// fresh is a test that begins without late questions, in a bubble of time.
func fresh(t *testing.T, anyName func(string) error, run func(t *testing.T)) {
	was := asked
	defer func() { asked = was }()
	synctest.Test(t, func(t *testing.T) {
		asked = newQuestions(anyName)
		run(t)
	})
}

// A question that is not answered is given up after its time; the next about that
// file fails at once, others in its folder are asked, and once the answer has come
// the file is asked about again.
func TestOneFileStalls(t *testing.T) {
	folder := t.TempDir()
	fresh(t, anyName, func(t *testing.T) {
		wait := make(chan struct{})
		stalls := func() (int, error) { <-wait; return 1, nil }
		answers := func() (int, error) { return 2, nil }
		file, other := filepath.Join(folder, "a"), filepath.Join(folder, "b")
		begun := time.Now()
		if _, err := ask(file, patience, stalls); !errors.Is(err, ErrStalled) || time.Since(begun) != patience {
			t.Errorf("after %v: %v", time.Since(begun), err)
		}
		begun = time.Now()
		if _, err := ask(file, patience, answers); !errors.Is(err, ErrStalled) || time.Since(begun) != 0 {
			t.Errorf("asked again, after %v: %v", time.Since(begun), err)
		}
		if got, err := ask(other, patience, answers); got != 2 || err != nil || time.Since(begun) >= grace {
			t.Errorf("of another file, after %v: %d, %v", time.Since(begun), got, err)
		}
		close(wait)
		synctest.Wait()
		if got, err := ask(file, patience, answers); got != 2 || err != nil {
			t.Errorf("once it was answered: %d, %v", got, err)
		}
		if len(asked.files)+len(asked.folders)+asked.late != 0 {
			t.Errorf("left over: %+v", asked)
		}
	})
}

// A folder that does not answer costs one wait, however many files it has, and no more
// threads than a handful.
func TestFolderStalls(t *testing.T) {
	wait := make(chan struct{})
	fresh(t, func(string) error { <-wait; return nil }, func(t *testing.T) {
		wait = make(chan struct{}) // of this bubble
		begun := time.Now()
		var begins atomic.Int64
		for n := range 10_000 {
			file := fmt.Sprintf("/mount/%d", n)
			if _, err := ask(file, patience, func() (int, error) { begins.Add(1); <-wait; return 0, nil }); !errors.Is(err, ErrStalled) {
				t.Fatal(err)
			}
		}
		if took := time.Since(begun); took > patience+grace || begins.Load() != 1 {
			t.Errorf("%d were asked, in %v", begins.Load(), took)
		}
		close(wait)
	})
}

// However many links lead to what does not answer, only so many threads wait for it.
func TestManyStall(t *testing.T) {
	folder := t.TempDir()
	fresh(t, anyName, func(t *testing.T) {
		wait := make(chan struct{})
		var begins atomic.Int64
		for n := range 10 * mostLate {
			_, err := ask(filepath.Join(folder, fmt.Sprint(n)), patience, func() (int, error) { begins.Add(1); <-wait; return 0, nil })
			if !errors.Is(err, ErrStalled) {
				t.Fatal(err)
			}
		}
		if begins.Load() != mostLate {
			t.Errorf("%d wait", begins.Load())
		}
		close(wait)
	})
}
