package demo

import (
	"os"
	"syscall"
)

// tether has a child not receive the Ctrl-C of this console.
func tether() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{CreationFlags: syscall.CREATE_NEW_PROCESS_GROUP}
}

func killGroup(p *os.Process) { p.Kill() }
