package demo

import (
	"os"
	"syscall"
)

// tether puts a child in a process group of its own, and has the kernel kill it
// when this process is gone without having said so.
func tether() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
}

func killGroup(p *os.Process) { syscall.Kill(-p.Pid, syscall.SIGKILL) }
