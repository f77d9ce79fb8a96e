package keep

import (
	"context"
	"reflect"
	"slices"

	"bayhand/model/studio"
)

// Files are read beside the loop, since a file system may not answer for long. There is
// one reading at a time, so that an older one never comes in after a newer.

// reads are the readings of the files, by their numbers from 1 on.
type reads struct {
	// wanted is the last that somebody needs, begun the last that was begun, and ended the
	// last that came in.
	wanted, begun, ended int
}

// want asks for a reading that begins from now on, and is its number.
func (r *reads) want() int {
	r.wanted = r.begun + 1
	return r.wanted
}

// looked is the fact that the files may have changed.
type looked struct{}

func (looked) happened(k *machine) { k.reads.want() }

// readFiles begins the next reading, where one is needed and none is under way.
func readFiles(k *machine) bool {
	r := &k.reads
	if r.wanted == r.begun || r.begun > r.ended {
		return false
	}
	r.begun = r.wanted
	k.out.reading, k.out.sessions = r.begun, k.sessions()
	return true
}

// sessions are those whose files matter: to what is intended, and to acts on their way.
func (k *machine) sessions() []string {
	var more []string
	for _, a := range slices.Concat(k.asks.waiting, k.asks.held, k.asks.planning) {
		more = append(more, a.act.Session)
	}
	return k.memory.Intent.sessions(more...)
}

// loaded is the fact that a reading ended.
type loaded struct {
	number int
	files  Files
	// site is what is known of the studio where it is another than before; else nil.
	site *site
}

func (f loaded) happened(k *machine) {
	k.reads.ended = f.number
	k.takeFiles(f.files, f.site)
}

// loadedAfter is the fact that files were read, after a studio was in force. What is known
// of another studio is worked out here: that takes longer than the loop may.
func loadedAfter(had *studio.Studio, number int, files Files) loaded {
	f := loaded{number: number, files: files}
	if s := files.Studio; s != nil && !reflect.DeepEqual(s, had) {
		f.site = newSite(s)
	}
	return f
}

// read reads the files, with those of sessions, beside the loop. A file system that does
// not answer keeps nobody from ending.
func (k *Keeper) read(ctx context.Context, number int, sessions []string) {
	had := k.machine.studio
	go func() {
		f := loadedAfter(had, number, k.config.Load(ctx, sessions))
		select {
		case k.facts <- f:
		case <-ctx.Done():
		}
	}()
}

// readFirst reads the files before anything else is done.
func (k *Keeper) readFirst(ctx context.Context) {
	k.read(ctx, 0, k.machine.sessions())
	for {
		select {
		case f := <-k.facts:
			k.take(ctx, f)
			if _, ok := f.(loaded); ok {
				return
			}
		case <-ctx.Done():
			return
		}
	}
}
