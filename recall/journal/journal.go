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
// it is: nothing here ever repairs, truncates or replaces one; Salvage reads what
// is whole in it. One that was written by an older bayhand is copied, and then
// brought to the newest version.
//
// The events are a chain: each carries the sum of the one before, and the memory
// that of the last. How often anything was written stands apart, in a file beside
// the journal, so that an older copy is not taken for it. Every page and every
// sum is looked at when the journal is opened.
//
// The long lists of a memory are written in parts, so that a write takes as long as what
// it changes, and not as long as the building is large.
package journal

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"sync"
	"syscall"
	"time"

	"go.etcd.io/bbolt"
	bolterrors "go.etcd.io/bbolt/errors"

	"bayhand/recall/keep"
)

// File is the usual name of the journal in a state folder.
const File = "journal.db"

// Version is what this package writes. It reads no higher one.
const Version = 5

// chainedVersion is the first whose events are a chain.
const chainedVersion = 3

// partsVersion is the first whose memory is written in parts.
const partsVersion = 5

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
	partsBucket  = []byte("parts")
	versionKey   = []byte("version")
	memoryKey    = []byte("memory")
	// baseKey is the end of what was pruned, where anything was.
	baseKey = []byte("base")
)

// Journal is one open file. Its methods may be called from anywhere.
type Journal struct {
	db   *bbolt.DB
	file string
	// cannot is why nothing can be written; nil where it can.
	cannot error
	// mu guards the fields below, and lets one write at a time.
	mu     sync.Mutex
	end    end
	cutter cutter
	// parts are the keys of those in the file.
	parts map[string]bool
	// changes is how often the file was changed since it was opened.
	changes uint64

	// prunes lets one Prune at a time.
	prunes sync.Mutex
	// copying is what goes on in BackUpBeside; stopCopy ends it, nil where there is none.
	copying  sync.WaitGroup
	stopCopy context.CancelFunc
}

// Open opens the journal, or begins one where there is no file. It waits a
// second for another process to let go of it, and looks at every page and every
// sum before anything is trusted, in time linear in the size of the file. On a
// disk that takes nothing it opens all the same; then only Write fails.
func Open(file string) (*Journal, error) {
	if err := begin(file); err != nil {
		return nil, err
	}
	found, err := examine(file)
	if err != nil {
		return nil, err
	}
	j, err := open(file, false)
	if errors.Is(err, syscall.EROFS) || errors.Is(err, fs.ErrPermission) {
		if j, reading := open(file, true); reading == nil {
			j.cannot = err
			return j, j.upgrade(found)
		}
	}
	if err != nil {
		return nil, err
	}
	if err := j.upgrade(found); err != nil {
		return nil, errors.Join(err, j.db.Close())
	}
	j.sign()
	return j, nil
}

// examine looks at the whole file while nobody writes it.
func examine(file string) (contents, error) {
	j, err := open(file, true)
	if err != nil {
		return contents{}, err
	}
	found, err := inspect(file)
	if err := errors.Join(err, j.db.Close()); damage(err) {
		return found, damaged(file, err)
	} else if err != nil {
		return found, fmt.Errorf("%s: %w", file, err)
	}
	return found, nil
}

// open takes the lock of the file: to read, several processes have it at once.
func open(file string, toRead bool) (*Journal, error) {
	var db *bbolt.DB
	err := guarded(func() (err error) {
		db, err = bbolt.Open(file, 0o600, &bbolt.Options{Timeout: patience, ReadOnly: toRead})
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
	return &Journal{db: db, file: file, cutter: newCutter()}, nil
}

// begin makes an empty journal where there is no file, whole or not at all: an
// empty file is the rest of something else.
func begin(file string) error {
	info, err := os.Stat(file)
	if err == nil && info.Size() == 0 {
		return damaged(file, errors.New("it is empty"))
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return nil // whatever it is, opening it will say
	}
	made, err := os.CreateTemp(filepath.Dir(file), filepath.Base(file)+".new-*")
	if err != nil {
		return err
	}
	defer os.Remove(made.Name())
	if err := made.Close(); err != nil {
		return err
	}
	j, err := open(made.Name(), false)
	if err != nil {
		return err
	}
	if err := errors.Join(j.lay(), j.db.Close()); err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	// Another process may have begun one meanwhile; then that one counts.
	if err := os.Link(made.Name(), file); err == nil || errors.Is(err, fs.ErrExist) {
		return nil
	}
	return os.Rename(made.Name(), file)
}

// lay makes the parts of an empty journal.
func (j *Journal) lay() error {
	return j.db.Update(func(tx *bbolt.Tx) error {
		for _, name := range [][]byte{metaBucket, stateBucket, eventsBucket, partsBucket} {
			if _, err := tx.CreateBucketIfNotExists(name); err != nil {
				return err
			}
		}
		return tx.Bucket(metaBucket).Put(versionKey, []byte(strconv.Itoa(Version)))
	})
}

// damage says whether a file could not be opened for what is in it: whatever the
// operating system has nothing against.
func damage(err error) bool {
	var path *fs.PathError
	var number syscall.Errno
	return err != nil && !errors.As(err, &path) && !errors.As(err, &number)
}

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
	return fmt.Errorf("%w: %s (%v); it is left as it is, so keep a copy, then restore a backup or move it away to begin a new one, "+
		"and say what is plugged", ErrDamaged, file, why)
}

// upgrade brings an older journal to the newest version and refuses a newer one,
// and one that ends before the last write that is known of.
func (j *Journal) upgrade(found contents) error {
	switch {
	case found.version > Version:
		return fmt.Errorf("%w: %s has version %d, and this one reads up to %d; use the newer bayhand", ErrNewer, j.file, found.version, Version)
	case found.version < Version && j.cannot != nil:
		return fmt.Errorf("%s was written by an older bayhand and cannot be brought to the newest version: %w", j.file, j.cannot)
	case found.version < Version:
		if err := j.refuseOlderCopy(found); err != nil {
			return err
		}
		return j.migrate(found)
	}
	j.end, j.parts = found.end, found.parts
	return j.refuseOlderCopy(found)
}

// refuseOlderCopy refuses a journal that ends before the last write that is known of.
func (j *Journal) refuseOlderCopy(found contents) error {
	if last, ok := readLast(j.file); ok && found.version >= chainedVersion && last > found.end.writes {
		return damaged(j.file, fmt.Errorf("it ends with write %d, and write %d was on the disk: it is an older copy, or its last writes are lost; "+
			"to go on from it all the same, take %s away", found.end.writes, last, j.file+lastEnding))
	}
	return nil
}

// Load gives what was written last; the zero memory if nothing was.
func (j *Journal) Load() (keep.Memory, error) {
	var m keep.Memory
	err := j.db.View(func(tx *bbolt.Tx) error {
		sealed := tx.Bucket(stateBucket).Get(memoryKey)
		if sealed == nil {
			return nil
		}
		text, _, err := unsealMemory(sealed)
		if err == nil {
			m, err = join(text, partsIn(tx))
		}
		if err != nil {
			return damaged(j.file, err)
		}
		return nil
	})
	return m, err
}

// Write puts the memory in the place of the one before, and the events at the
// end of the history, both or neither. The number of each event is set. Of the memory it
// writes what is not there already.
func (j *Journal) Write(m keep.Memory, events []keep.Event) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.cannot != nil {
		return j.cannot
	}
	text, parts, err := j.cutter.cut(m)
	if err != nil {
		return err
	}
	next, has := j.end, j.parts
	err = j.update(func(tx *bbolt.Tx) error {
		if err := put(tx.Bucket(eventsBucket), events, &next); err != nil {
			return err
		}
		if has, err = putParts(tx.Bucket(partsBucket), j.parts, parts); err != nil {
			return err
		}
		next.writes++
		return tx.Bucket(stateBucket).Put(memoryKey, sealMemory(text, next))
	})
	if err != nil {
		return err
	}
	j.end, j.parts = next, has
	writeLast(j.file, next.writes)
	return nil
}

// update changes the file; mu is held.
func (j *Journal) update(change func(*bbolt.Tx) error) error {
	j.changes++
	return j.db.Update(change)
}

// put links events to the end of the chain.
func put(history *bbolt.Bucket, events []keep.Event, at *end) error {
	for _, e := range events {
		e.Seq = at.seq + 1
		text, err := json.Marshal(e)
		if err != nil {
			return err
		}
		sealed, own := link(at.last, text)
		if err := history.Put(seqKey(e.Seq), sealed); err != nil {
			return err
		}
		at.seq, at.last = e.Seq, own
	}
	return history.SetSequence(at.seq)
}

// Close lets go of the file, and ends what BackUpBeside began.
func (j *Journal) Close() error {
	if j.stopCopy != nil {
		j.stopCopy()
	}
	j.copying.Wait()
	return errors.Join(j.unsign(), j.db.Close())
}
