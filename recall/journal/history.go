package journal

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"time"

	"go.etcd.io/bbolt"

	"bayhand/recall/keep"
)

// Find gives the events that the query chooses, the oldest first. With
// Query.Last it begins at the newest event before Query.Before and ends with the last one wanted, with
// Query.First at the oldest; else it takes time linear in the events after
// Query.After.
func (j *Journal) Find(q keep.Query) ([]keep.Event, error) {
	found := []keep.Event{}
	if q.First > 0 && q.Last <= 0 {
		err := j.forwards(q.After, func(e keep.Event) bool {
			if q.Takes(e) {
				found = append(found, e)
			}
			return len(found) < q.First
		})
		return found, err
	}
	err := j.backwards(q.After, q.Before, func(e keep.Event) bool {
		if q.Takes(e) {
			found = append(found, e)
		}
		return q.Last <= 0 || len(found) < q.Last
	})
	slices.Reverse(found)
	return found, err
}

// backwards hands over the events after one and before another, the newest first, until
// take has enough; before 0 is no bound.
func (j *Journal) backwards(after, before uint64, take func(keep.Event) bool) error {
	return j.db.View(func(tx *bbolt.Tx) error {
		c := tx.Bucket(eventsBucket).Cursor()
		for at, sealed := lastBefore(c, before); at != nil && seqOf(at) > after; at, sealed = c.Prev() {
			e, err := readEvent(sealed)
			if err != nil {
				return damaged(j.file, err)
			}
			if !take(e) {
				return nil
			}
		}
		return nil
	})
}

// lastBefore is the newest event before a number; 0 is no bound.
func lastBefore(c *bbolt.Cursor, before uint64) (key, value []byte) {
	if before == 0 {
		return c.Last()
	}
	if at, _ := c.Seek(seqKey(before)); at == nil {
		return c.Last()
	}
	return c.Prev()
}

// forwards hands over the events after one, the oldest first, until take has enough.
func (j *Journal) forwards(after uint64, take func(keep.Event) bool) error {
	return j.db.View(func(tx *bbolt.Tx) error {
		c := tx.Bucket(eventsBucket).Cursor()
		for at, sealed := c.Seek(seqKey(after + 1)); at != nil; at, sealed = c.Next() {
			e, err := readEvent(sealed)
			if err != nil {
				return damaged(j.file, err)
			}
			if !take(e) {
				return nil
			}
		}
		return nil
	})
}

func newest(events []keep.Event, most int) []keep.Event {
	if most <= 0 {
		return events
	}
	return events[max(0, len(events)-most):]
}

// pruneAtOnce bounds one transaction: whoever writes next waits for it.
const pruneAtOnce = 1_000

// Prune forgets the oldest events, up to the first that is not before a time,
// and says how many they were. That it was done, when and by whom is an event
// itself, written before the first is forgotten. The file does not become smaller by
// it, but takes no more for as many events to come. Numbers are not used again. It goes
// piece by piece, and what is written meanwhile waits for one piece.
func (j *Journal) Prune(before time.Time, by keep.Event) (int, error) {
	j.prunes.Lock()
	defer j.prunes.Unlock()
	if j.cannot != nil {
		return 0, j.cannot
	}
	count, err := j.countBefore(before)
	if err != nil || count == 0 {
		return 0, err
	}
	if err := j.append(Pruning(by, count, before)); err != nil {
		return 0, err
	}
	for pruned := 0; pruned < count; {
		n, err := j.prune(before, min(count-pruned, pruneAtOnce))
		if pruned += n; err != nil || n == 0 {
			return pruned, err
		}
	}
	return count, nil
}

// Pruning is the event of a prune, of which At and By are given.
func Pruning(by keep.Event, count int, before time.Time) keep.Event {
	by.Kind = keep.Pruned
	by.Text = fmt.Sprintf("forgot %d events from before %s", count, before.UTC().Format("2006-01-02 15:04 UTC"))
	return by
}

// append writes one event, with the memory as it is.
func (j *Journal) append(e keep.Event) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	next := j.end
	err := j.update(func(tx *bbolt.Tx) error {
		text, _, err := unsealMemory(tx.Bucket(stateBucket).Get(memoryKey))
		if err != nil {
			return err
		}
		text = bytes.Clone(text) // it lies in the page that is about to be written
		if err := put(tx.Bucket(eventsBucket), []keep.Event{e}, &next); err != nil {
			return err
		}
		next.writes++
		return tx.Bucket(stateBucket).Put(memoryKey, sealMemory(text, next))
	})
	if err != nil {
		return err
	}
	j.end = next
	writeLast(j.file, next.writes)
	return nil
}

// countBefore is how many events Prune takes.
func (j *Journal) countBefore(before time.Time) (count int, err error) {
	err = j.db.View(func(tx *bbolt.Tx) error {
		c := tx.Bucket(eventsBucket).Cursor()
		for at, sealed := c.First(); at != nil; at, sealed = c.Next() {
			e, err := readEvent(sealed)
			if err != nil {
				return damaged(j.file, err)
			}
			if !e.At.Before(before) {
				return nil
			}
			count++
		}
		return nil
	})
	return count, err
}

func (j *Journal) prune(before time.Time, most int) (int, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	var old [][]byte
	err := j.update(func(tx *bbolt.Tx) (err error) {
		history := tx.Bucket(eventsBucket)
		var base end
		if old, base, err = j.before(history, before, most); err != nil || len(old) == 0 {
			return err
		}
		for _, at := range old {
			if err := history.Delete(at); err != nil {
				return err
			}
		}
		return putBase(tx, base)
	})
	return len(old), err
}

// putBase writes where the chain begins.
func putBase(tx *bbolt.Tx, base end) error {
	return tx.Bucket(metaBucket).Put(baseKey, sealBase(base))
}

// before lists the keys of the oldest events, and the end of the chain that they
// are. They are gathered first: a bucket may not change under its cursor.
func (j *Journal) before(history *bbolt.Bucket, when time.Time, most int) (old [][]byte, base end, err error) {
	c := history.Cursor()
	for at, sealed := c.First(); at != nil && len(old) < most; at, sealed = c.Next() {
		e, err := readEvent(sealed)
		if err != nil {
			return nil, base, damaged(j.file, err)
		}
		if !e.At.Before(when) {
			break
		}
		_, _, own, _ := unlink(sealed)
		old, base = append(old, bytes.Clone(at)), end{seq: seqOf(at), last: own}
	}
	return old, base, nil
}

// Lines writes events as JSON, one a line.
func Lines(w io.Writer, events []keep.Event) error {
	out := json.NewEncoder(w)
	for _, e := range events {
		if err := out.Encode(e); err != nil {
			return err
		}
	}
	return nil
}
