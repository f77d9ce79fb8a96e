//go:build !unix

package arrange

import "time"

var started = time.Now()

// processor is the time since the start, where that of the processor is not to be had.
func processor() time.Duration { return time.Since(started) }
