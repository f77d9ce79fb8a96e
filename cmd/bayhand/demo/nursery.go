package demo

import (
	"os/exec"
	"runtime"
)

// nursery starts children from one thread that lives as long as it does: where
// children are to die with their parent, the kernel means the thread that
// started them (prctl(2), PR_SET_PDEATHSIG), and threads come and go in Go.
type nursery struct {
	asks    chan func()
	emptied chan struct{}
}

func newNursery() *nursery {
	n := &nursery{asks: make(chan func()), emptied: make(chan struct{})}
	go func() {
		defer close(n.emptied)
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		for ask := range n.asks {
			ask()
		}
	}()
	return n
}

func (n *nursery) start(command *exec.Cmd) error {
	started := make(chan error)
	n.asks <- func() { started <- command.Start() }
	return <-started
}

// close ends the thread; every child must be gone.
func (n *nursery) close() {
	close(n.asks)
	<-n.emptied
}
