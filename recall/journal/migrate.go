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
)

// The versions that were ever written:
//
//	1  values are JSON; later ones of it began with their sums
//	2  all values begin with their sums
//
// A file of an older version is copied first, beside itself, as
// journal.db.version-1; then it is brought to the newest in one transaction, so
// that a process that is killed meanwhile leaves it as it was. The copy stays
// until somebody takes it away.

// migrate brings a journal of an older version to the newest.
func (j *Journal) migrate(from int) error {
	copied, err := j.backUp(from)
	if err != nil {
		return fmt.Errorf("%s was written by an older bayhand and is left as it is, since no copy of it could be made first: %w; "+
			"make room beside it", j.file, err)
	}
	err = j.db.Update(func(tx *bbolt.Tx) error {
		for _, name := range [][]byte{stateBucket, eventsBucket} {
			if err := j.sealAll(tx.Bucket(name)); err != nil {
				return err
			}
		}
		return tx.Bucket(metaBucket).Put(versionKey, []byte(strconv.Itoa(Version)))
	})
	if err != nil {
		return fmt.Errorf("%s could not be brought from version %d to %d, and is as it was; a copy is %s: %w", j.file, from, Version, copied, err)
	}
	return nil
}

// sealAll gives each value of a bucket its sum. A bucket may not change under
// its cursor, so the keys are gathered first.
func (j *Journal) sealAll(b *bbolt.Bucket) error {
	if b == nil {
		return nil
	}
	bare := [][]byte{}
	err := b.ForEach(func(key, value []byte) error {
		switch {
		case sealedText(value) != nil:
			return nil
		case !json.Valid(value):
			return damaged(j.file, errSum)
		}
		bare = append(bare, bytes.Clone(key))
		return nil
	})
	if err != nil {
		return err
	}
	for _, key := range bare {
		if err := b.Put(key, sealText(b.Get(key))); err != nil {
			return err
		}
	}
	return nil
}

// backUp copies the journal beside itself, and says where the copy is. A copy
// that is there already and is the same stays the only one.
func (j *Journal) backUp(version int) (string, error) {
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

// sealedText is the JSON of a value that has its sum; nil for one that has not.
func sealedText(value []byte) []byte {
	if len(value) < 4 || crc32.Checksum(value[4:], castagnoli) != binary.BigEndian.Uint32(value) {
		return nil
	}
	return value[4:]
}
