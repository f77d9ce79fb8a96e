//go:build !linux && !windows

package demo

import (
	"os"
	"syscall"
)

// tether puts a child in a process group of its own. That it dies with this
// process cannot be had here.
func tether() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setpgid: true} }

func killGroup(p *os.Process) { syscall.Kill(-p.Pid, syscall.SIGKILL) }
