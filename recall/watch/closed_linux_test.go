package watch

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// A file that is cut at the end of a line, and is written on a while later, is not
// looked at in between, however long it stands still, since whoever writes it has not
// closed it.
func TestHalfOpenFileIsNotLookedAt(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tern.yaml")
	write(t, file, "one\ntwo\nthree\n")
	asked, looks := begun(t, Options{Folders: []string{filepath.Dir(file)}})
	next(t, asked) // the slow look
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_TRUNC, 0)
	must(t, err)
	_, err = f.WriteString("one\n")
	must(t, err)
	for range 3 {
		next(t, asked, quietTime, 5*settleTime, 5*quietTime).fire <- time.Time{} // it stood still
	}
	if len(looks) > 0 {
		t.Fatal("looked at half a file")
	}
	_, err = f.WriteString("two\nthree\n")
	must(t, err)
	must(t, f.Close())
	for late := time.After(tooLong); ; {
		select {
		case a := <-asked:
			if a.d == quietTime || a.d == settleTime {
				a.fire <- time.Time{} // the last of them counts
			}
		case <-looks:
			if holds(file, "one\ntwo\nthree\n")() {
				return
			}
		case <-late:
			t.Fatal("nobody looked")
		}
	}
}

// A file that became smaller and was closed is waited for half as long.
func TestSmallerFileClosed(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tern.yaml")
	write(t, file, "one\ntwo\nthree\n")
	asked, looks := begun(t, Options{Folders: []string{filepath.Dir(file)}})
	next(t, asked)
	write(t, file, "one\n")
	for next(t, asked).d != settleTime/2 {
	}
	if len(looks) > 0 {
		t.Fatal("looked at once")
	}
	write(t, file, "one\ntwo\nthree\nfour\n")
	for late := time.After(tooLong); ; {
		select {
		case a := <-asked:
			if a.d == quietTime {
				a.fire <- time.Time{}
			}
		case <-looks:
			return
		case <-late:
			t.Fatal("nobody looked")
		}
	}
}
