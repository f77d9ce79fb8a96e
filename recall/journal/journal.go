// Package journal remembers the room across restarts: what is intended, what is
// known, and the history of every recall and change.
//
// The journal is one file in the state folder, and one process holds it at a
// time. Whatever is written is on the disk before Write returns; the keeper acts
// on nothing that is not. A memory is what the keeper would wake up with; an
// event is one line of history, numbered from 1, and never taken back; it is
// forgotten only when somebody asks for it.
//
// A file that is damaged, or written by a newer bayhand, is refused and left as
// it is: nothing here ever repairs, truncates or replaces one. One that was
// written by an older bayhand is copied, and then brought to the newest version.
package journal

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"runtime/debug"
	"strconv"
	"syscall"
	"time"

	"go.etcd.io/bbolt"
	bolterrors "go.etcd.io/bbolt/errors"

	"bayhand/recall/keep"
)

// File is the usual name of the journal in a state folder.
const File = "journal.db"

// Version is what this package writes. It reads no higher one.
const Version = 2

// How long Open waits for a process that is about to let go.
const patience = time.Second

// Why a journal is not opened.
var (
	ErrHeld    = errors.New("the journal is held by another process")
	ErrDamaged = errors.New("the journal is damaged")
	ErrNewer   = errors.New("the journal was written by a newer bayhand")
)

var (
	metaBucket   = []byte("meta")
	stateBucket  = []byte("state")
	eventsBucket = []byte("events")
	versionKey   = []byte("version")
	memoryKey    = []byte("memory")
)

// Journal is one open file. Its methods may be called from anywhere.
type Journal struct {
	db   *bbolt.DB
	file string
}

// Open opens the journal, or begins one where there is no file. It waits a
// second for another process to let go of it.
func Open(file string) (*Journal, error) {
	if err := bounded(file); errors.Is(err, errStumbled) {
		return nil, damaged(file, err)
	}
	var db *bbolt.DB
	err := guarded(func() (err error) {
		db, err = bbolt.Open(file, 0o600, &bbolt.Options{Timeout: patience})
		return err
	})
	switch {
	case errors.Is(err, bolterrors.ErrTimeout):
		return nil, fmt.Errorf("%w: %s by %s", ErrHeld, file, holder(file))
	case damage(err):
		return nil, damaged(file, err)
	case err != nil:
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	j := &Journal{db: db, file: file}
	if err := j.prepare(); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	if err := j.sign(); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return j, nil
}

// damage says whether a file could not be opened for what is in it: whatever the
// operating system has nothing against.
func damage(err error) bool {
	var path *fs.PathError
	var number syscall.Errno
	return err != nil && !errors.As(err, &path) && !errors.As(err, &number)
}

// errStumbled is what a reader does over pages that make no sense.
var errStumbled = errors.New("its pages make no sense")

// guarded makes an error of a stumble. The file is mapped into memory: a page
// that is not there is a fault of memory, which is damage too, and no crash.
func guarded(do func() error) (err error) {
	defer debug.SetPanicOnFault(debug.SetPanicOnFault(true))
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%w: %v", errStumbled, r)
		}
	}()
	return do()
}

func damaged(file string, why error) error {
	return fmt.Errorf("%w: %s (%v); it is left as it is, so keep a copy, then put back a backup or move it away to begin a new one, "+
		"and say what is plugged", ErrDamaged, file, why)
}

// prepare looks at every page before anything is trusted, and begins an empty
// journal.
func (j *Journal) prepare() error {
	if err := j.sound(); err != nil {
		return damaged(j.file, err)
	}
	version, err := j.version()
	switch {
	case err != nil:
		return err
	case version > 0 && version < Version:
		return j.migrate(version)
	case version > Version:
		return fmt.Errorf("%w: %s has version %d, and this one reads up to %d; use the newer bayhand", ErrNewer, j.file, version, Version)
	}
	return j.db.Update(func(tx *bbolt.Tx) error {
		for _, name := range [][]byte{metaBucket, stateBucket, eventsBucket} {
			if _, err := tx.CreateBucketIfNotExists(name); err != nil {
				return err
			}
		}
		return tx.Bucket(metaBucket).Put(versionKey, []byte(strconv.Itoa(Version)))
	})
}

// sound reads the whole file's structure, in time linear in its size.
func (j *Journal) sound() error {
	return guarded(func() error { return j.db.View(j.check) })
}

func (j *Journal) check(tx *bbolt.Tx) error {
	info, err := os.Stat(j.file)
	if err != nil {
		return err
	}
	if info.Size() < tx.Size() {
		return fmt.Errorf("it has %d bytes where %d were written", info.Size(), tx.Size())
	}
	var first error
	for err := range tx.Check() {
		first = errors.Join(first, err)
	}
	return first
}

func (j *Journal) version() (int, error) {
	version := 0
	err := j.db.View(func(tx *bbolt.Tx) error {
		b := tx.Bucket(metaBucket)
		if b == nil {
			return nil
		}
		text := string(b.Get(versionKey))
		var err error
		if version, err = strconv.Atoi(text); err != nil {
			return damaged(j.file, fmt.Errorf("its version is %q", text))
		}
		return nil
	})
	return version, err
}

// Load gives what was written last; the zero memory if nothing was.
func (j *Journal) Load() (keep.Memory, error) {
	var m keep.Memory
	err := j.db.View(func(tx *bbolt.Tx) error {
		sealed := tx.Bucket(stateBucket).Get(memoryKey)
		if sealed == nil {
			return nil
		}
		if err := unseal(sealed, &m); err != nil {
			return damaged(j.file, err)
		}
		return nil
	})
	return m, err
}

// Write puts the memory in the place of the one before, and the events at the
// end of the history, both or neither.
func (j *Journal) Write(m keep.Memory, events []keep.Event) error {
	sealed, err := seal(m)
	if err != nil {
		return err
	}
	return j.db.Update(func(tx *bbolt.Tx) error {
		if err := tx.Bucket(stateBucket).Put(memoryKey, sealed); err != nil {
			return err
		}
		history := tx.Bucket(eventsBucket)
		for _, e := range events {
			if err := put(history, e); err != nil {
				return err
			}
		}
		return nil
	})
}

func put(history *bbolt.Bucket, e keep.Event) error {
	seq, err := history.NextSequence()
	if err != nil {
		return err
	}
	e.Seq = seq
	sealed, err := seal(e)
	if err != nil {
		return err
	}
	return history.Put(key(seq), sealed)
}

// key is the number of an event, in the order of the bucket.
func key(seq uint64) []byte { return binary.BigEndian.AppendUint64(nil, seq) }

// Close lets go of the file.
func (j *Journal) Close() error {
	return errors.Join(j.unsign(), j.db.Close())
}
