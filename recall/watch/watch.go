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
// end of a line. It is looked at once it has stood still for longer, unless it
// was put in its place whole, by renaming.
//
// A folder that is missing is waited for through the nearest folder above it
// that exists. File systems that report nothing (many network mounts) are looked
// at every now and then all the same, and more often where the system watches
// nothing at all.
package watch

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"syscall"
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
	// Settle is the same after a file has become smaller; 0 means 2 s.
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
	events, err := newEvents()
	if err != nil {
		w.poll(err)
	} else {
		defer events.Close()
		w.events = events
	}
	w.attach()
	if w.Ready != nil {
		w.Ready()
	}
	return w.loop(ctx)
}

type watcher struct {
	Options
	// events is nil where the system cannot watch.
	events *fsnotify.Watcher
	look   func()
	// polling is true where the system cannot watch all folders.
	polling bool
	// above are folders watched only because one below them is missing.
	above []string
	// missing are the folders last reported.
	missing []string
	sizes   sizes
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
			if w.concerns(e) {
				w.sizes.follow(e)
				b.begin(w.delay(), w.Most)
			}
		case _, ok := <-lost:
			if !ok {
				return errors.New("the watch on the files has ended")
			}
			// More happened than could be told: look, as if it had been.
			b.begin(w.delay(), w.Most)
		case <-b.quiet:
			w.lookAgain(&b)
		case <-b.latest:
			w.lookAgain(&b)
		case <-slow:
			// A file that is being written is looked at when it stands still.
			if !b.running() || !w.sizes.shrunk() {
				w.lookAgain(&b)
			}
			slow, stopSlow = w.slowly()
		case <-ctx.Done():
			return nil
		}
	}
}

func (w *watcher) lookAgain(b *burst) {
	b.end()
	w.attach()
	w.look()
}

// delay is how long nothing must happen before the next look.
func (w *watcher) delay() time.Duration {
	if w.sizes.shrunk() {
		return w.Settle
	}
	return w.Quiet
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

// concerns leaves out what changes no file's meaning. Above a missing folder
// only the way down to it is of interest.
func (w *watcher) concerns(e fsnotify.Event) bool {
	if e.Op == fsnotify.Chmod {
		return false
	}
	in := filepath.Dir(e.Name)
	if slices.Contains(w.Folders, e.Name) {
		return true
	}
	if slices.Contains(w.Folders, in) && (w.Matters == nil || w.Matters(e.Name)) {
		return true
	}
	return slices.ContainsFunc(w.Folders, func(f string) bool { return within(f, e.Name) })
}

// within says whether a folder is below another one, or is that.
func within(folder, above string) bool {
	rest, err := filepath.Rel(above, folder)
	return err == nil && filepath.IsLocal(rest)
}

// attach notes how large the files are, and watches every folder that is there, and for those that are not the
// nearest one above them. A folder that was removed and made again is another
// one, so each is added anew; adding what is watched already changes nothing.
func (w *watcher) attach() {
	w.sizes = sizesIn(w.Folders, w.Matters)
	var missing, above []string
	for _, f := range w.Folders {
		if w.add(f) {
			continue
		}
		missing = append(missing, f)
		for up := filepath.Dir(f); ; up = filepath.Dir(up) {
			if w.add(up) {
				above = append(above, up)
				break
			}
			if up == filepath.Dir(up) {
				break
			}
		}
	}
	w.release(above)
	w.report(missing)
}

// add watches a folder; false where there is none.
func (w *watcher) add(folder string) bool {
	info, err := os.Stat(folder)
	if err != nil || !info.IsDir() {
		return false
	}
	if w.events == nil {
		return true
	}
	err = w.events.Add(folder)
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EMFILE) || errors.Is(err, syscall.ENFILE) {
		w.poll(err) // the system has no watches left
		return true
	}
	return err == nil
}

// release stops watching what was watched only for a folder that is there now.
func (w *watcher) release(above []string) {
	for _, old := range w.above {
		if w.events != nil && !slices.Contains(above, old) && !slices.Contains(w.Folders, old) {
			// An error means that it went itself, and its watch with it.
			_ = w.events.Remove(old)
		}
	}
	w.above = above
}

func (w *watcher) report(missing []string) {
	if slices.Equal(missing, w.missing) {
		return
	}
	w.missing = missing
	if w.Missing != nil {
		w.Missing(slices.Clone(missing))
	}
}
