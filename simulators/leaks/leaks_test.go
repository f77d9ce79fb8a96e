package leaks

import (
	"testing"
	"time"
)

// What ends late is waited for, longer than half a second.
func TestWhatEndsLateIsWaitedFor(t *testing.T) {
	tests := late{ended: make(chan struct{})}
	if status := (waiting{tests}).Run(); status != 3 {
		t.Errorf("the tests ended with %d", status)
	}
	select {
	case <-tests.ended:
	default:
		t.Error("a goroutine was not waited for")
	}
}

// late are tests that leave a goroutine behind for a second.
type late struct{ ended chan struct{} }

func (l late) Run() int {
	go func() {
		<-time.After(time.Second)
		close(l.ended)
	}()
	return 3
}
