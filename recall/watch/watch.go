// Package watch says "look again" when files may have changed.
//
// It watches folders and not files: editors save by renaming a new file over the
// old one, by emptying and writing it, or in several pieces, and a watch on the
// file itself would end with the first of these. A burst of changes is one look,
// after the folder has been quiet for a moment. What changed is never said, and
// a look may find nothing new: whoever looks reads everything.
//
// A folder that is missing is waited for through the nearest folder above it
// that exists. File systems that report nothing (many network mounts) are looked
// at every now and then all the same.
package watch

import (
	"context"
	"errors"
	"fmt"
	"os"
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
	// Quiet is how long nothing must happen before a look; 0 means 200 ms.
	Quiet time.Duration
	// Slow is how often to look anyway; 0 means 30 s, negative never.
	Slow  time.Duration
	Clock Clock
	// Missing is told of folders that are not there, and again with none when all
	// are; nil for nobody.
	Missing func(folders []string)
	// Ready is called once the folders are watched; nil for nobody.
	Ready func()
}

func (o Options) withDefaults() Options {
	if o.Quiet == 0 {
		o.Quiet = 200 * time.Millisecond
	}
	if o.Slow == 0 {
		o.Slow = 30 * time.Second
	}
	return o
}

// Run calls look each time that something may have changed, until the context
// ends. Looks come one at a time.
func Run(ctx context.Context, o Options, look func()) error {
	if o.Clock == nil || len(o.Folders) == 0 {
		return errors.New("a watch needs a clock and a folder")
	}
	events, err := fsnotify.NewWatcher()
	if err != nil {
		return fmt.Errorf("the files cannot be watched: %w", err)
	}
	defer events.Close()
	w := watcher{Options: o.withDefaults(), events: events, look: look}
	w.Folders = slices.Clone(w.Folders)
	for i, f := range w.Folders {
		if w.Folders[i], err = filepath.Abs(f); err != nil {
			return err
		}
	}
	w.attach()
	if w.Ready != nil {
		w.Ready()
	}
	return w.loop(ctx)
}

type watcher struct {
	Options
	events *fsnotify.Watcher
	look   func()
	// above are folders watched only because one below them is missing.
	above []string
	// missing are the folders last reported.
	missing []string
}

func (w *watcher) loop(ctx context.Context) error {
	slow, stopSlow := w.timer(w.Slow)
	var quiet <-chan time.Time
	stopQuiet := func() {}
	defer func() { stopSlow(); stopQuiet() }()
	for {
		select {
		case e, ok := <-w.events.Events:
			if !ok {
				return errors.New("the watch on the files has ended")
			}
			if !w.concerns(e) {
				continue
			}
			stopQuiet()
			quiet, stopQuiet = w.Clock.Timer(w.Quiet)
		case _, ok := <-w.events.Errors:
			if !ok {
				return errors.New("the watch on the files has ended")
			}
			// More happened than could be told: look, as if it had been.
			stopQuiet()
			quiet, stopQuiet = w.Clock.Timer(w.Quiet)
		case <-quiet:
			quiet = nil
			w.attach()
			w.look()
		case <-slow:
			w.attach()
			w.look()
			slow, stopSlow = w.timer(w.Slow)
		case <-ctx.Done():
			return nil
		}
	}
}

func (w *watcher) timer(d time.Duration) (<-chan time.Time, func()) {
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
	if slices.Contains(w.Folders, in) || slices.Contains(w.Folders, e.Name) {
		return true
	}
	return slices.ContainsFunc(w.Folders, func(f string) bool { return within(f, e.Name) })
}

// within says whether a folder is below another one, or is that.
func within(folder, above string) bool {
	rest, err := filepath.Rel(above, folder)
	return err == nil && filepath.IsLocal(rest)
}

// attach watches every folder that is there, and for those that are not the
// nearest one above them. A folder that was removed and made again is another
// one, so each is added anew; adding what is watched already changes nothing.
func (w *watcher) attach() {
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
	return w.events.Add(folder) == nil
}

// release stops watching what was watched only for a folder that is there now.
func (w *watcher) release(above []string) {
	for _, old := range w.above {
		if !slices.Contains(above, old) && !slices.Contains(w.Folders, old) {
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
