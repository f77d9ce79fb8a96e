package watch

import (
	"errors"
	"path/filepath"
	"slices"
	"syscall"

	"github.com/fsnotify/fsnotify"

	"bayhand/recall/disk"
)

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
	if slices.Contains(w.Folders, in) && w.counts(e.Name) {
		return true
	}
	return slices.ContainsFunc(w.Folders, func(f string) bool { return within(f, e.Name) })
}

// counts says whether a file is of interest.
func (w *watcher) counts(file string) bool { return w.Matters == nil || w.Matters(file) }

// within says whether a folder is below another one, or is that.
func within(folder, above string) bool {
	rest, err := filepath.Rel(above, folder)
	return err == nil && filepath.IsLocal(rest)
}

// attach watches every folder that is there, and for those that are not the nearest
// one above them. A folder that was removed and made again is another
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
	info, err := disk.Stat(folder)
	if errors.Is(err, disk.ErrStalled) {
		return true // it is there, and cannot be watched again just now
	}
	if err != nil || !info.IsDir() {
		return false
	}
	if w.events == nil {
		return true
	}
	if w.closings != nil {
		w.closings.add(folder)
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
