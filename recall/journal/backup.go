package journal

import (
	"context"
	"errors"
	"fmt"
	"os"
)

// BackupEnding is the ending of the copy that is kept beside the journal.
const BackupEnding = ".backup"

// soonCopied is the size of a journal that is copied before anybody waits for it.
const soonCopied = 16 << 20

// BackUp copies the journal, which was found whole when it was opened, beside
// itself: journal.db.backup. The copy before is replaced once the new one is on
// the disk; one that is the newest already is left. It takes time linear in the
// size of the journal, and writes do not wait for it but for the last that came
// meanwhile. A context that ends stops it.
func (j *Journal) BackUp(ctx context.Context) error {
	if err := j.backUp(ctx); err != nil {
		return fmt.Errorf("no backup of %s could be made: %w", j.file, err)
	}
	return nil
}

// BackUpBeside does the same beside what is written, where the journal is so large that
// it takes a while: then failed is told why it could not be made, and Close stops it.
func (j *Journal) BackUpBeside(failed func(error)) {
	ctx, stop := context.WithCancel(context.Background())
	if info, err := os.Stat(j.file); err != nil || info.Size() <= soonCopied {
		defer stop()
		if err := j.BackUp(ctx); err != nil {
			failed(err)
		}
		return
	}
	j.stopCopy = stop
	j.copying.Go(func() {
		if err := j.BackUp(ctx); err != nil && ctx.Err() == nil {
			failed(err)
		}
	})
}

func (j *Journal) backUp(ctx context.Context) error {
	file := j.file + BackupEnding
	if last, ok := readLast(file); ok && last == j.moment().writes {
		if _, err := os.Stat(file); err == nil {
			return nil
		}
	}
	sweep(file, ".new-") // those of older programs
	d, err := newDuplicate(j.file, file)
	if err != nil {
		return err
	}
	defer d.end()
	writes, err := j.settled(ctx, d)
	if err != nil {
		return err
	}
	if err := errors.Join(d.keep(), d.place()); err != nil {
		return err
	}
	writeLast(file, writes)
	return nil
}

// moment is how often the journal was written, and how often its file was changed.
type moment struct{ writes, changes uint64 }

func (j *Journal) moment() moment {
	j.mu.Lock()
	defer j.mu.Unlock()
	return moment{j.end.writes, j.changes}
}

// passesBeside is how often what differs is taken over while the journal is written.
const passesBeside = 4

// settled has the copy be the journal of one moment, and says of how many writes. Where
// each pass met a write, the last one has the next write wait for it.
func (j *Journal) settled(ctx context.Context, d *duplicate) (writes uint64, err error) {
	for range passesBeside {
		before := j.moment()
		if _, err := d.pass(ctx); err != nil {
			return 0, err
		}
		if j.moment() == before {
			return before.writes, nil
		}
	}
	if err := d.keep(); err != nil {
		return 0, err
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	_, err = d.pass(ctx)
	return j.end.writes, err
}
