package sound

import (
	"os"
	"unsafe"

	"golang.org/x/sys/unix"
)

// The structures of the kernel's sound/asound.h for PCM devices. What is unsigned
// long there is uint here, and long is int: they have the size of the machine's
// words, as in C.

// interval is the values that a parameter can have, both ends included.
type interval struct {
	low, high uint32
	flags     uint32 // openmin, openmax, integer, empty
}

// mask is a set of numbers.
type mask [8]uint32

type hwParams struct {
	_         uint32 // flags
	masks     [3]mask
	_         [5]mask
	intervals [12]interval
	_         [9]interval
	asked     uint32
	changed   uint32
	info      uint32
	_         uint32 // significant bits
	_, _      uint32 // rate as a fraction
	_         uint   // length of the FIFO
	_         [64]byte
}

type swParams struct {
	_              int32 // time stamps
	periodStep     uint32
	_              uint32
	availMin       uint
	_              uint
	startThreshold uint
	stopThreshold  uint
	_, _           uint // what is played of itself
	boundary       uint
	_              uint32 // protocol
	_              uint32
	_              [56]byte
}

// Places of parameters.
const (
	paramAccess = 0
	paramFormat = 1

	paramChannels = 10 - 8
	paramRate     = 11 - 8
	paramPeriod   = 13 - 8
	paramBuffer   = 17 - 8

	readWriteInterleaved = 3
)

// The ways of the ioctls' arguments.
const (
	toKernel   = 1
	fromKernel = 2
)

// request is the number of an ioctl of a PCM device, whose type is the letter A.
func request(direction, number, size uintptr) uintptr {
	return direction<<30 | size<<16 | 'A'<<8 | number
}

// SNDRV_PCM_IOCTL_*.
var (
	ioctlRefine   = request(toKernel|fromKernel, 0x10, unsafe.Sizeof(hwParams{}))
	ioctlHWParams = request(toKernel|fromKernel, 0x11, unsafe.Sizeof(hwParams{}))
	ioctlSWParams = request(toKernel|fromKernel, 0x13, unsafe.Sizeof(swParams{}))
	ioctlDelay    = request(fromKernel, 0x21, unsafe.Sizeof(uint(0)))
	ioctlPrepare  = request(0, 0x40, 0)
	ioctlStart    = request(0, 0x42, 0)
	ioctlDrop     = request(0, 0x43, 0)
	ioctlRewind   = request(toKernel, 0x46, unsafe.Sizeof(uint(0)))
	ioctlLink     = request(toKernel, 0x60, unsafe.Sizeof(int32(0)))
)

// ioctl hands the structure that p points to to the kernel. Not through
// os.File.Fd, which would take the file out of Go's poller.
func ioctl[T any](file *os.File, number uintptr, p *T) error {
	return control(file, func(fd uintptr) unix.Errno {
		_, _, errno := unix.Syscall(unix.SYS_IOCTL, fd, number, uintptr(unsafe.Pointer(p)))
		return errno
	})
}

// command is an ioctl whose argument is a number.
func command(file *os.File, number, argument uintptr) error {
	return control(file, func(fd uintptr) unix.Errno {
		_, _, errno := unix.Syscall(unix.SYS_IOCTL, fd, number, argument)
		return errno
	})
}

// link has two streams started, prepared and dropped as one.
func link(a, b *os.File) error {
	return control(b, func(fd uintptr) unix.Errno {
		err := command(a, ioctlLink, fd)
		errno, _ := err.(unix.Errno) // of command, it is nothing else
		return errno
	})
}

func control(file *os.File, do func(fd uintptr) unix.Errno) error {
	conn, err := file.SyscallConn()
	if err != nil {
		return err
	}
	var errno unix.Errno
	if err := conn.Control(func(fd uintptr) { errno = do(fd) }); err != nil {
		return err
	}
	if errno != 0 {
		return errno
	}
	return nil
}
