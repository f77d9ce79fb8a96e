package ports

import (
	"sync"
	"time"
)

// watch looks whether a port is still listed, for systems that do not tell: a
// message to a device that was pulled is taken there as if it had been sent.
type watch struct {
	stop    chan struct{}
	running sync.WaitGroup
	// mu guards gone.
	mu   sync.Mutex
	gone bool
}

func (w *watch) begin(every time.Duration, there func() bool, lost func()) {
	w.end()
	w.mu.Lock()
	w.gone = false
	w.mu.Unlock()
	stop := make(chan struct{})
	w.stop = stop
	w.running.Go(func() {
		look := time.NewTicker(every)
		defer look.Stop()
		for {
			select {
			case <-stop:
				return
			case <-look.C:
			}
			if !there() {
				w.mu.Lock()
				w.gone = true
				w.mu.Unlock()
				lost()
				return
			}
		}
	})
}

// end stops looking; it must not be called from within lost.
func (w *watch) end() {
	if w.stop != nil {
		close(w.stop)
		w.stop = nil
		w.running.Wait()
	}
}

func (w *watch) lost() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.gone
}
