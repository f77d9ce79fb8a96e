package journal

import (
	"encoding/json"
	"io"
	"time"

	"go.etcd.io/bbolt"

	"bayhand/recall/keep"
)

// Find gives the events that the query chooses, the oldest first. It takes time
// linear in the events after Query.After.
func (j *Journal) Find(q keep.Query) ([]keep.Event, error) {
	found := []keep.Event{}
	err := j.db.View(func(tx *bbolt.Tx) error {
		c := tx.Bucket(eventsBucket).Cursor()
		for at, text := c.Seek(key(q.After + 1)); at != nil; at, text = c.Next() {
			var e keep.Event
			if err := unseal(text, &e); err != nil {
				return damaged(j.file, err)
			}
			if q.Takes(e) {
				found = append(found, e)
			}
		}
		return nil
	})
	return newest(found, q.Last), err
}

func newest(events []keep.Event, most int) []keep.Event {
	if most <= 0 {
		return events
	}
	return events[max(0, len(events)-most):]
}

// pruneAtOnce bounds one transaction: whoever writes next waits for it.
const pruneAtOnce = 10_000

// Prune forgets the events before a time, and says how many they were. The file
// does not become smaller by it, but takes no more for as many events to come.
// Numbers are not used again.
func (j *Journal) Prune(before time.Time) (int, error) {
	for pruned := 0; ; {
		n, err := j.prune(before)
		pruned += n
		if err != nil || n < pruneAtOnce {
			return pruned, err
		}
	}
}

func (j *Journal) prune(before time.Time) (pruned int, err error) {
	err = j.db.Update(func(tx *bbolt.Tx) error {
		history := tx.Bucket(eventsBucket)
		old, err := j.before(history, before)
		if err != nil {
			return err
		}
		for _, at := range old {
			if err := history.Delete(at); err != nil {
				return err
			}
		}
		pruned = len(old)
		return nil
	})
	return pruned, err
}

// before lists the keys of old events, the first ones only. They are gathered
// first: a bucket may not change under its cursor.
func (j *Journal) before(history *bbolt.Bucket, when time.Time) ([][]byte, error) {
	var old [][]byte
	c := history.Cursor()
	for at, text := c.First(); at != nil && len(old) < pruneAtOnce; at, text = c.Next() {
		var e keep.Event
		if err := unseal(text, &e); err != nil {
			return nil, damaged(j.file, err)
		}
		if e.At.Before(when) {
			old = append(old, append([]byte{}, at...))
		}
	}
	return old, nil
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
