package journal

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io/fs"
	"os"
	"strconv"

	"github.com/google/renameio/v2/maybe"
	"go.etcd.io/bbolt"

	"bayhand/recall/keep"
)

// The versions that were ever written:
//
//	1  values are JSON; later ones of it began with their sums
//	2  all values begin with their sums (CRC-32C, 4 bytes)
//	3  the events are a chain, of which the memory knows the end
//	4  what an undo goes back to is kept for each room; before it was one for all
//	5  the long lists of the memory are written in parts
//
// A file of an older version is copied first, beside itself, as
// journal.db.version-1; then it is brought to the newest in one transaction, so
// that a process that is killed meanwhile leaves it as it was. The copy stays
// until somebody takes it away.

// migrate brings a journal of an older version to the newest.
func (j *Journal) migrate(found contents) error {
	from := found.version
	copied, err := j.copyOf(from)
	if err != nil {
		return fmt.Errorf("%s was written by an older bayhand and is left as it is, since no copy of it could be made first: %w; "+
			"make room beside it", j.file, err)
	}
	next := end{writes: 1}
	err = j.db.Update(func(tx *bbolt.Tx) error {
		if from < chainedVersion {
			if err := j.chainAll(tx.Bucket(eventsBucket), &next); err != nil {
				return err
			}
		} else {
			next = found.end
			next.writes++
		}
		if err := j.endOf(tx, next); err != nil {
			return err
		}
		return tx.Bucket(metaBucket).Put(versionKey, []byte(strconv.Itoa(Version)))
	})
	if err != nil {
		return fmt.Errorf("%s could not be brought from version %d to %d, and is as it was; a copy is %s: %w", j.file, from, Version, copied, err)
	}
	j.end = next
	return nil
}

// chainAll makes a chain of events that had only their sums. Events may be
// missing at the front and, since they were pruned by their times, in between:
// what is left is the chain, numbered as it was from its last event backwards.
func (j *Journal) chainAll(b *bbolt.Bucket, at *end) error {
	texts, err := j.oldTexts(b)
	if err != nil {
		return err
	}
	first := b.Sequence() - uint64(len(texts))
	if err := putBase(b.Tx(), end{seq: first}); err != nil {
		return err
	}
	at.seq = first
	events := make([]keep.Event, len(texts))
	for i, text := range texts {
		if err := json.Unmarshal(text, &events[i]); err != nil {
			return damaged(j.file, err)
		}
	}
	return put(b, events, at)
}

// oldTexts takes all events out of their bucket, the oldest first.
func (j *Journal) oldTexts(b *bbolt.Bucket) ([][]byte, error) {
	var keys, texts [][]byte
	err := b.ForEach(func(key, sealed []byte) error {
		text, err := j.oldText(sealed)
		keys, texts = append(keys, bytes.Clone(key)), append(texts, bytes.Clone(text))
		return err
	})
	for _, key := range keys {
		err = errors.Join(err, b.Delete(key))
	}
	return texts, err
}

// endOf writes the memory in parts, with the end of the chain.
func (j *Journal) endOf(tx *bbolt.Tx, at end) error {
	sealed := tx.Bucket(stateBucket).Get(memoryKey)
	if sealed == nil {
		sealed = []byte("{}")
	}
	had, err := j.oldMemory(sealed)
	if err != nil {
		return err
	}
	m, err := readOld(had)
	if err != nil {
		return damaged(j.file, err)
	}
	text, parts, err := j.cutter.cut(m)
	if err != nil {
		return err
	}
	b, err := tx.CreateBucketIfNotExists(partsBucket)
	if err != nil {
		return err
	}
	if j.parts, err = putParts(b, nil, parts); err != nil {
		return err
	}
	return tx.Bucket(stateBucket).Put(memoryKey, sealMemory(text, at))
}

// readOld is the memory of the JSON of any version before its lists were parts.
func readOld(text []byte) (m keep.Memory, err error) {
	if text, err = perRoom(text); err != nil {
		return m, err
	}
	return m, json.Unmarshal(text, &m)
}

// oldMemory is the JSON of the memory of any older version.
func (j *Journal) oldMemory(sealed []byte) ([]byte, error) {
	if text, _, err := unsealMemory(sealed); err == nil {
		return text, nil
	}
	return j.oldText(sealed)
}

// perRoom is a memory in which what an undo goes back to stands among those of rooms: the
// one that there was is about all of the studio.
func perRoom(text []byte) ([]byte, error) {
	var m map[string]json.RawMessage
	if err := json.Unmarshal(text, &m); err != nil {
		return nil, err
	}
	if past, ok := m["past"]; ok && string(past) != "null" {
		all, err := json.Marshal([]json.RawMessage{past})
		if err != nil {
			return nil, err
		}
		m["pasts"] = all
	}
	delete(m, "past")
	return json.Marshal(m)
}

// oldText is the JSON of a value of versions 1 and 2.
func (j *Journal) oldText(value []byte) ([]byte, error) {
	if len(value) >= 4 && crc32.Checksum(value[4:], castagnoli) == binary.BigEndian.Uint32(value) {
		return value[4:], nil
	}
	if !json.Valid(value) {
		return nil, damaged(j.file, errSum)
	}
	return value, nil
}

// copyOf copies the journal of an older version beside itself, and says where the
// copy is. A copy that is there already and is the same stays the only one.
func (j *Journal) copyOf(version int) (string, error) {
	text, err := j.snapshot()
	if err != nil {
		return "", err
	}
	for n := 1; ; n++ {
		file := fmt.Sprintf("%s.version-%d", j.file, version)
		if n > 1 {
			file += "-" + strconv.Itoa(n)
		}
		has, err := os.ReadFile(file)
		switch {
		case err == nil && bytes.Equal(has, text):
			return file, nil
		case errors.Is(err, fs.ErrNotExist):
			return file, maybe.WriteFile(file, text, 0o600)
		}
	}
}

// snapshot is the whole file as it is read now.
func (j *Journal) snapshot() ([]byte, error) {
	var text bytes.Buffer
	err := j.db.View(func(tx *bbolt.Tx) error {
		_, err := tx.WriteTo(&text)
		return err
	})
	return text.Bytes(), err
}
