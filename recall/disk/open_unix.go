//go:build !windows

package disk

import "syscall"

// atOnce are the flags of opening that make it wait for nobody: not for the other
// end of a pipe, nor for whoever has a lease on the file; and no line becomes the
// terminal of this process (open(2)).
const atOnce = syscall.O_NONBLOCK | syscall.O_NOCTTY
