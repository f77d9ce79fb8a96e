//go:build unix

package arrange

import (
	"syscall"
	"time"
)

// processor is the time that the processor has spent on this program: on a busy machine
// the clock on the wall counts the work of others.
func processor() time.Duration {
	var r syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &r) != nil {
		return 0
	}
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}
