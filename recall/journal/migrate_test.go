package journal

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"go.etcd.io/bbolt"

	"bayhand/recall/keep"
)

// old is a journal as an earlier bayhand wrote it: two recalls in a room of four
// pairs, the second half-way.
func old(t *testing.T, name string) (file string, src []byte) {
	t.Helper()
	packed, err := os.Open(filepath.Join("testdata", name+".db.gz"))
	if err != nil {
		t.Fatal(err)
	}
	defer packed.Close()
	unpacked, err := gzip.NewReader(packed)
	if err != nil {
		t.Fatal(err)
	}
	if src, err = io.ReadAll(unpacked); err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), File)
	if err := os.WriteFile(file, src, 0o600); err != nil {
		t.Fatal(err)
	}
	return file, src
}

// Both ways in which version 1 was ever written are read, brought to the newest
// version, and copied first.
func TestOlderIsMigrated(t *testing.T) {
	for _, name := range []string{"version-1-plain", "version-1-sums"} {
		t.Run(name, func(t *testing.T) {
			file, src := old(t, name)
			for range 2 {
				isTheOldRoom(t, file)
			}
			copied := file + ".version-1"
			if other, _ := filepath.Glob(file + ".*"); len(other) != 1 || other[0] != copied {
				t.Errorf("beside the journal are %q", other)
			}
			// The copy is a journal of its own, with the same in it.
			again := filepath.Join(t.TempDir(), File)
			text, err := os.ReadFile(copied)
			if err != nil {
				t.Fatal(err)
			}
			if len(text) < len(src)/2 {
				t.Errorf("the copy has %d bytes of %d", len(text), len(src))
			}
			if err := os.WriteFile(again, text, 0o600); err != nil {
				t.Fatal(err)
			}
			isTheOldRoom(t, again)
		})
	}
}

func isTheOldRoom(t *testing.T, file string) {
	t.Helper()
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	m, err := j.Load()
	if err != nil {
		t.Fatal(err)
	}
	if m.Intent.Session != "dry" || m.Intent.Recall != 2 || len(m.Intent.Left) != 3 || len(m.Known.Cords) != 2 || len(m.Pasts) != 1 || m.Pasts[0].Session != "squeezed" {
		t.Errorf("the memory is %+v", m)
	}
	events, err := j.Find(keep.Query{})
	if err != nil || len(events) != 5 || texts(events) != "squeezed is recalled told told squeezed is given dry is recalled" {
		t.Errorf("the history is %+v, %v", events, err)
	}
	if found, err := inspect(file); err != nil || found.version != Version {
		t.Errorf("its version is %d, %v", found.version, err)
	}
}

// A copy of another journal is never written over.
func TestCopyTakesNoPlace(t *testing.T) {
	file, _ := old(t, "version-1-plain")
	if err := os.WriteFile(file+".version-1", []byte("the copy of a year ago"), 0o600); err != nil {
		t.Fatal(err)
	}
	isTheOldRoom(t, file)
	if text, _ := os.ReadFile(file + ".version-1"); string(text) != "the copy of a year ago" {
		t.Errorf("the older copy is now %d bytes", len(text))
	}
	if _, err := os.Stat(file + ".version-1-2"); err != nil {
		t.Error(err)
	}
}

// What makes no sense as either is damage, and stays as it was.
func TestDamagedOlderIsLeft(t *testing.T) {
	file, _ := old(t, "version-1-plain")
	db, err := bbolt.Open(file, 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	err = db.Update(func(tx *bbolt.Tx) error {
		text := bytes.Clone(tx.Bucket(eventsBucket).Get(seqKey(3)))
		text[len(text)-1] ^= 4
		return tx.Bucket(eventsBucket).Put(seqKey(3), text)
	})
	if err := errors.Join(err, db.Close()); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Open(file); !errors.Is(err, ErrDamaged) {
		t.Errorf("opened: %v", err)
	}
	if after, _ := os.ReadFile(file); !bytes.Equal(before, after) {
		t.Error("the file was changed")
	}
}

// A journal of version 3, as the program of then wrote it in two rooms: a concert in the
// one, a mix in the other, and an encore recalled in the place of the concert. What an undo
// went back to was one thing for all of the studio, and stays so; the chain goes on.
func TestOneUndoForAllIsTakenOver(t *testing.T) {
	file, _ := old(t, "version-3-rooms")
	before, err := inspect(file)
	if err != nil || before.version != 3 {
		t.Fatalf("version %d, %v", before.version, err)
	}
	for n := range 2 {
		j, err := Open(file)
		if err != nil {
			t.Fatal(err)
		}
		m, err := j.Load()
		if err != nil || m.Intent.Session != "encore" || len(m.Intent.Others) != 1 || m.Intent.Others[0].Session != "mixdown" {
			t.Errorf("the memory is %+v, %v", m, err)
		}
		if len(m.Pasts) != 1 || m.Pasts[0].Session != "mixdown" || len(m.Pasts[0].Rooms) != 0 || len(m.Pasts[0].Others) != 1 || len(m.Pasts[0].Patch.Cords) == 0 {
			t.Errorf("an undo goes back to %+v", m.Pasts)
		}
		events, err := j.Find(keep.Query{})
		if err != nil || uint64(len(events)) != before.end.seq || j.end.last != before.end.last || j.end.writes != before.end.writes+1 {
			t.Errorf("%d events, %v; the chain ends %+v, and ended %+v", len(events), err, j.end, before.end)
		}
		if err := j.Close(); err != nil {
			t.Fatal(err)
		}
		if found, err := inspect(file); err != nil || found.version != Version {
			t.Errorf("opened %d times its version is %d, %v", n+1, found.version, err)
		}
	}
	if copied, err := inspect(file + ".version-3"); err != nil || copied.version != 3 || copied.end != before.end {
		t.Errorf("the copy is of version %d and ends %+v, %v", copied.version, copied.end, err)
	}
}

// An older copy of an older journal is not taken for the newest.
func TestOlderCopyOfAnOlderVersion(t *testing.T) {
	file, _ := old(t, "version-3-rooms")
	before, err := inspect(file)
	if err != nil {
		t.Fatal(err)
	}
	writeLast(file, before.end.writes+1)
	if j, err := Open(file); !errors.Is(err, ErrDamaged) {
		t.Errorf("it is opened: %v, %v", j, err)
	}
}
