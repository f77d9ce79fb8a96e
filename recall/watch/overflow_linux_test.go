package watch

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"bayhand/recall/keep"
)

// More may happen than the kernel keeps (inotify(7): max_queued_events, then
// IN_Q_OVERFLOW). What was lost is looked at all the same, and the watch goes on.
func TestOverflow(t *testing.T) {
	text, err := os.ReadFile("/proc/sys/fs/inotify/max_queued_events")
	must(t, err)
	most, err := strconv.Atoi(strings.TrimSpace(string(text)))
	must(t, err)
	if most > 100_000 {
		t.Logf("the kernel keeps %d events; only as many as usual are made", most)
		most = 16384
	}
	folder := t.TempDir()
	looks, hold := make(chan struct{}), make(chan struct{})
	ready := make(chan struct{})
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() {
		ended <- Run(ctx, Options{Folders: []string{folder}, Clock: keep.SystemClock{}, Quiet: time.Millisecond, Slow: -1, Ready: func() { close(ready) }}, func() {
			select {
			case looks <- struct{}{}:
			case <-ctx.Done():
				return
			}
			select {
			case <-hold:
			case <-ctx.Done():
			}
		})
	}()
	<-ready
	file := filepath.Join(folder, "tern.yaml")
	write(t, file, "first")
	<-looks // and the watcher is held up from here on
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_APPEND, 0)
	must(t, err)
	other, err := os.OpenFile(filepath.Join(folder, "heron.yaml"), os.O_WRONLY|os.O_CREATE, 0o644)
	must(t, err)
	for range most {
		// Two files in turn: the kernel joins the same event of the same file.
		for _, f := range []*os.File{f, other} {
			_, err := f.Write([]byte("."))
			must(t, err)
		}
	}
	must(t, f.Close())
	must(t, other.Close())
	hold <- struct{}{}
	<-looks
	hold <- struct{}{}
	// It still hears of the next change.
	for again := true; again; {
		select {
		case <-looks:
			hold <- struct{}{}
		case <-time.After(300 * time.Millisecond):
			again = false
		}
	}
	write(t, file, "last")
	<-looks
	stop()
	must(t, <-ended)
}
