package keep

import (
	"context"
	"reflect"
	"slices"
	"time"

	"bayhand/model/heard"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// Files are read beside the loop, since a file system may not answer for long. There is
// one reading at a time, so that an older one never comes in after a newer.

// reads are the readings of the files, by their numbers from 1 on.
type reads struct {
	// wanted is the last that somebody needs, begun the last that was begun, and ended the
	// last that came in.
	wanted, begun, ended int
	// since is when the one under way was begun; zero where none is. late is true once
	// that is longer ago than a file system takes that answers.
	since time.Time
	late  bool
}

// filesPatience is how long files are waited for before somebody is told.
const filesPatience = 2 * time.Second

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
	r.begun, r.since = r.wanted, k.at
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
	k.reads.ended, k.reads.since, k.reads.late = f.number, time.Time{}, false
	k.takeFiles(f.files, f.site)
}

// loadedAfter is the fact that files were read, after a studio was in force. What is known
// of another studio is worked out here: that takes longer than the loop may.
func loadedAfter(had *studio.Studio, number int, files Files) loaded {
	f := loaded{number: number, files: files}
	if s := files.Studio; s != nil && !reflect.DeepEqual(s, had) {
		f.site = newSite(s)
		f.site.room = heard.NewRoom(s)
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
	k.machine.reads.since = k.config.Clock.Now()
	k.read(ctx, 0, k.machine.sessions())
	late, stop := k.config.Clock.Timer(filesPatience)
	defer stop()
	for {
		select {
		case f := <-k.facts:
			k.take(ctx, f)
			if _, ok := f.(loaded); ok {
				return
			}
		case <-late:
			if k.decide(ctx, noteLateFiles) {
				k.post()
			}
		case <-ctx.Done():
			return
		}
	}
}

// noteLateFiles notes that files are waited for longer than usual.
func noteLateFiles(k *machine) bool {
	if k.reads.late || !k.due(k.lateFiles()) {
		return false
	}
	k.reads.late = true
	return true
}

// lateFiles is when somebody is told that files are waited for; zero for never.
func (k *machine) lateFiles() time.Time {
	if k.reads.since.IsZero() || k.reads.late {
		return time.Time{}
	}
	return k.reads.since.Add(filesPatience)
}

// awaitsFiles says whether the oldest act waits for files alone.
func (k *machine) awaitsFiles() bool {
	return len(k.asks.waiting) > 0 && k.asks.waiting[0].reading > k.reads.ended
}

// lateProblems say that files are waited for, and what goes on meanwhile.
func (v view) lateProblems() []Problem {
	if !v.k.reads.late {
		return nil
	}
	text := "The studio's files are not read yet: their disk has not answered since {time}. What was read before stays in force, reports are taken and devices are polled; a recall waits"
	if v.k.studio == nil {
		text = "The studio's files are not read yet: their disk has not answered since {time}. Nothing is driven until they are read"
	}
	return []Problem{{Code: "files-late", Severity: "warning", Since: v.k.reads.since,
		Message: phrase.Put(text, "time", v.k.reads.since.Format("15:04:05"))}}
}
