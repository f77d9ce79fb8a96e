package journal

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"go.etcd.io/bbolt"
)

// BackupEnding is the ending of the copy that is kept beside the journal.
const BackupEnding = ".backup"

// BackUp copies the journal, which was found whole when it was opened, beside
// itself: journal.db.backup. The copy before is replaced once the new one is on
// the disk; one that is the newest already is left. It takes time linear in the
// size of the journal.
func (j *Journal) BackUp() error {
	file := j.file + BackupEnding
	if last, ok := readLast(file); ok && last == j.writes() {
		if _, err := os.Stat(file); err == nil {
			return nil
		}
	}
	writes, err := j.copyTo(file)
	if err != nil {
		return fmt.Errorf("no backup of %s could be made: %w", j.file, err)
	}
	writeLast(file, writes)
	return nil
}

func (j *Journal) writes() uint64 {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.end.writes
}

// copyTo writes the journal as it is now to another file, whole or not at all,
// and says how many writes are in it.
func (j *Journal) copyTo(file string) (writes uint64, err error) {
	to, err := os.CreateTemp(filepath.Dir(file), filepath.Base(file)+".new-*")
	if err != nil {
		return 0, err
	}
	defer os.Remove(to.Name())
	err = j.db.View(func(tx *bbolt.Tx) error {
		if _, e, err := unsealMemory(tx.Bucket(stateBucket).Get(memoryKey)); err == nil {
			writes = e.writes
		}
		_, err := tx.WriteTo(to)
		return err
	})
	if err := errors.Join(err, to.Sync(), to.Close()); err != nil {
		return 0, err
	}
	return writes, os.Rename(to.Name(), file)
}
