// Package watch says "look again" when files may have changed.
//
// It watches folders and not files: editors save by renaming a new file over the
// old one, by emptying and writing it, or in several pieces, and a watch on the
// file itself would end with the first of these. A burst of changes is one look,
// after the files that matter have been quiet for a moment, and at the latest a
// while after the first of them. What changed is never said, and a look may find
// nothing new: whoever looks reads everything.
//
// A file that has become smaller may be half of what is being saved, cut at the
// end of a line. It is looked at once its size and time have stood still for longer,
// and, where the system tells, once whoever writes it has closed it; unless it was
// put in its place whole, by renaming.
//
// A file system that does not answer delays a look and nothing else: Run ends when
// its context does, whatever the system still waits for.
//
// A folder that is missing is waited for through the nearest folder above it
// that exists. File systems that report nothing (many network mounts) are looked
// at every now and then all the same, and more often where the system watches
// nothing at all.
package watch

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"time"

	"github.com/fsnotify/fsnotify"
)

// Clock tells the time of the quiet moment and of the slow looks.
type Clock interface {
	// Timer gives a channel that receives once after d, and a way to stop it.
	Timer(d time.Duration) (<-chan time.Time, func())
}

// Options of a watch.
type Options struct {
	// Folders to watch; what is below them is not.
	Folders []string
	// Matters says which files are of interest, by their whole path; nil for all.
	// Others may be written all day, such as a take that is being recorded.
	Matters func(file string) bool
	// Quiet is how long nothing must happen before a look; 0 means 200 ms.
	Quiet time.Duration
	// Settle is the same after a file has become smaller, and half of it where
	// whoever wrote it has closed it; 0 means 2 s.
	Settle time.Duration
	// Most bounds how long changes without a pause delay a look, as a multiple of
	// Quiet or Settle; 0 means 5.
	Most int
	// Slow is how often to look anyway; 0 means 30 s, negative never.
	Slow time.Duration
	// Poll takes the place of Slow where the system cannot watch; 0 means 3 s.
	Poll  time.Duration
	Clock Clock
	// Missing is told of folders that are not there, and again with none when all
	// are; nil for nobody.
	Missing func(folders []string)
	// Polling is told once that, and why, the system cannot watch; nil for nobody.
	Polling func(why error)
	// Same takes the place of a look that nothing told of and before which everything
	// in the folders is as it was at the last look: what is elsewhere may differ, such
	// as what a file refers to. Nil for a look as any other.
	Same func()
	// Ready is called once the folders are watched; nil for nobody.
	Ready func()
}

func (o Options) withDefaults() Options {
	or := func(d *time.Duration, value time.Duration) {
		if *d == 0 {
			*d = value
		}
	}
	or(&o.Quiet, 200*time.Millisecond)
	or(&o.Settle, 2*time.Second)
	or(&o.Slow, 30*time.Second)
	or(&o.Poll, 3*time.Second)
	if o.Most == 0 {
		o.Most = 5
	}
	return o
}

// newEvents asks the system for a watch; a test has it refused.
var newEvents = fsnotify.NewWatcher

// Run calls look each time that something may have changed, until the context
// ends. Looks come one at a time. A system that has no watches left is no error:
// the files are then looked at as often as Poll says.
func Run(ctx context.Context, o Options, look func()) error {
	if o.Clock == nil || len(o.Folders) == 0 {
		return errors.New("a watch needs a clock and a folder")
	}
	w := &watcher{Options: o.withDefaults(), look: look, sizes: sizes{}}
	w.Folders = slices.Clone(w.Folders)
	for i, f := range w.Folders {
		var err error
		if w.Folders[i], err = filepath.Abs(f); err != nil {
			return err
		}
	}
	ended := make(chan error, 1)
	go func() { ended <- w.run(ctx) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	patience, stop := w.Clock.Timer(leaving)
	defer stop()
	select {
	case err := <-ended:
		return err
	case <-patience:
		return nil // a file system does not answer; nobody waits for it
	}
}

// leaving is how long a watch that is to end may still be busy.
const leaving = time.Second

// run watches until the context ends.
func (w *watcher) run(ctx context.Context) error {
	events, err := newEvents()
	if err != nil {
		w.poll(err)
	} else {
		defer events.Close()
		w.events = events
		if w.closings = newClosings(); w.closings != nil {
			defer w.closings.close()
		}
	}
	w.attach()
	w.sizes, w.failed = sizesIn(w.Folders, w.Matters)
	if w.Ready != nil {
		w.Ready()
	}
	return w.loop(ctx)
}

type watcher struct {
	Options
	// events is nil where the system cannot watch.
	events *fsnotify.Watcher
	// closings is nil where the system does not tell when a file is closed.
	closings *closings
	look     func()
	// polling is true where the system cannot watch all folders.
	polling bool
	// above are folders watched only because one below them is missing.
	above []string
	// missing are the folders last reported.
	missing []string
	sizes   sizes
	// failed says which folders could not be looked through, and why.
	failed string
	// known is true once everything was looked at: what was read before the watch began
	// may have been something else.
	known bool
}

// poll looks as often as Poll says from now on.
func (w *watcher) poll(why error) {
	if w.polling {
		return
	}
	w.polling = true
	if w.Polling != nil {
		w.Polling(why)
	}
}

func (w *watcher) loop(ctx context.Context) error {
	slow, stopSlow := w.slowly()
	b := burst{clock: w.Clock}
	defer func() { stopSlow(); b.end() }()
	var changes <-chan fsnotify.Event
	var lost <-chan error
	if w.events != nil {
		changes, lost = w.events.Events, w.events.Errors
	}
	for {
		select {
		case e, ok := <-changes:
			if !ok {
				return errors.New("the watch on the files has ended")
			}
			w.happened(e, &b)
		case file := <-w.closed():
			w.isClosed(file, &b)
		case _, ok := <-lost:
			if !ok {
				return errors.New("the watch on the files has ended")
			}
			// More happened than could be told: look, as if it had been.
			b.begin(w.delay(), w.Most)
		case <-b.quiet:
			w.settled(&b)
		case <-b.latest:
			w.lookAgain(&b)
		case <-slow:
			w.lookThrough(&b)
			slow, stopSlow = w.slowly()
		case <-ctx.Done():
			return nil
		}
	}
}

// closed are the files that were closed by whoever wrote them; none where the system
// does not tell.
func (w *watcher) closed() <-chan string {
	if w.closings == nil {
		return nil
	}
	return w.closings.files
}

// happened takes in a change.
func (w *watcher) happened(e fsnotify.Event, b *burst) {
	if !w.concerns(e) {
		return
	}
	if w.counts(e.Name) {
		w.sizes.follow(e.Name)
		w.sizes.isWritten(e)
	}
	b.begin(w.delay(), w.Most)
}

// isClosed takes in that a file was closed, which matters where it became smaller.
func (w *watcher) isClosed(file string, b *burst) {
	if !w.counts(file) {
		return
	}
	w.sizes.isClosed(file)
	if b.running() && len(w.sizes.shrunk()) > 0 {
		b.begin(w.delay(), w.Most)
	}
}

// settled looks, unless a smaller file moves after all.
func (w *watcher) settled(b *burst) {
	if w.sizes.moved(w.sizes.shrunk(), w.closings != nil) {
		b.begin(w.delay(), w.Most)
		return
	}
	w.lookAgain(b)
}

// lookThrough looks at what nobody told of. A file that is found smaller, or is being
// written just now, is looked at when it stands still.
func (w *watcher) lookThrough(b *burst) {
	w.attach()
	now, failed := sizesIn(w.Folders, w.Matters)
	same := w.known && !b.running() && w.sizes.same(now) && w.failed == failed
	w.sizes.later(now)
	w.failed = failed
	switch {
	case same && w.Same != nil:
		w.Same()
	case len(w.sizes.shrunk()) == 0:
		w.lookAgain(b)
	case !b.running():
		b.begin(w.delay(), w.Most)
	}
}

func (w *watcher) lookAgain(b *burst) {
	b.end()
	w.attach()
	w.sizes.looked()
	w.known = true
	w.look()
}

// delay is how long nothing must happen before the next look.
func (w *watcher) delay() time.Duration {
	wait := w.Quiet
	for _, file := range w.sizes.shrunk() {
		if !w.sizes[file].isClosed() {
			return w.Settle
		}
		wait = max(wait, w.Settle/2)
	}
	return wait
}

func (w *watcher) slowly() (<-chan time.Time, func()) {
	d := w.Slow
	if w.polling {
		d = w.Poll
	}
	if d < 0 {
		return nil, func() {}
	}
	return w.Clock.Timer(d)
}
