//go:build unix

package link

import "syscall"

// notATerminal is what drivers answer about lines that they do not have.
const notATerminal = syscall.ENOTTY
