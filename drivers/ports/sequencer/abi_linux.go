package sequencer

import (
	"fmt"
	"os"
	"structs"
	"unsafe"

	"golang.org/x/sys/unix"
)

// Address is a port: the number of its client, and its own there.
type Address struct{ Client, Port byte }

// String is the address as the kernel's own lists write it, such as 24:0.
func (a Address) String() string { return fmt.Sprintf("%d:%d", a.Client, a.Port) }

// announce is the kernel's port that tells of ports which come and go.
var announce = Address{Client: 0, Port: 1}

// The structures of sound/asequencer.h, padded by Go as C pads them.
type (
	// clientInfo is struct snd_seq_client_info.
	clientInfo struct {
		_ structs.HostLayout

		client, kind           int32
		name                   [64]byte
		filter                 uint32
		multicast              [8]byte
		events                 [32]byte
		ports, lost, card, pid int32
		version                uint32
		_                      [52]byte
	}
	// portInfo is struct snd_seq_port_info.
	portInfo struct {
		_ structs.HostLayout

		address            Address
		name               [64]byte
		capability, kind   uint32
		channels           int32
		midiVoices, voices int32
		readUse, writeUse  int32
		kernel             uintptr
		flags              uint32
		queue              byte
		_                  [59]byte
	}
	// subscription is struct snd_seq_port_subscribe.
	subscription struct {
		_ structs.HostLayout

		sender, dest  Address
		voices, flags uint32
		queue         byte
		_             [3 + 64]byte
	}
	// clientPool is struct snd_seq_client_pool.
	clientPool struct {
		_ structs.HostLayout

		client, output, input, room int32
		outputFree, inputFree       int32
		_                           [64]byte
	}
)

// What a port may be used for, SNDRV_SEQ_PORT_CAP_*, and what it is,
// SNDRV_SEQ_PORT_TYPE_*.
const (
	capRead      = 1 << 0
	capWrite     = 1 << 1
	capSubsRead  = 1 << 5
	capSubsWrite = 1 << 6
	capNoExport  = 1 << 7

	typeMIDI        = 1 << 1
	typeApplication = 1 << 20
)

// Directions of an ioctl, as asm-generic/ioctl.h has them for the processors that
// releases are made for.
const (
	directionWrite = 1
	directionRead  = 2
)

// request is the number of an ioctl of the sequencer, whose type is the letter S.
func request(direction, number, size uintptr) uintptr {
	return direction<<30 | size<<16 | 'S'<<8 | number
}

// The ioctls that are used here, SNDRV_SEQ_IOCTL_*.
var (
	ioctlClientID   = request(directionRead, 0x01, 4)
	ioctlGetClient  = request(directionRead|directionWrite, 0x10, unsafe.Sizeof(clientInfo{}))
	ioctlSetClient  = request(directionWrite, 0x11, unsafe.Sizeof(clientInfo{}))
	ioctlCreatePort = request(directionRead|directionWrite, 0x20, unsafe.Sizeof(portInfo{}))
	ioctlSubscribe  = request(directionWrite, 0x30, unsafe.Sizeof(subscription{}))
	ioctlGetPool    = request(directionRead|directionWrite, 0x4B, unsafe.Sizeof(clientPool{}))
	ioctlSetPool    = request(directionWrite, 0x4C, unsafe.Sizeof(clientPool{}))
	ioctlGetSubs    = request(directionRead|directionWrite, 0x50, unsafe.Sizeof(subscription{}))
	ioctlNextClient = request(directionRead|directionWrite, 0x51, unsafe.Sizeof(clientInfo{}))
	ioctlNextPort   = request(directionRead|directionWrite, 0x52, unsafe.Sizeof(portInfo{}))
)

// ioctl hands the structure that p points to to the kernel. Not through
// os.File.Fd, which would take the file out of Go's poller.
func ioctl[T any](file *os.File, number uintptr, p *T) error {
	conn, err := file.SyscallConn()
	if err != nil {
		return err
	}
	var errno unix.Errno
	if err := conn.Control(func(fd uintptr) {
		_, _, errno = unix.Syscall(unix.SYS_IOCTL, fd, number, uintptr(unsafe.Pointer(p)))
	}); err != nil {
		return err
	}
	if errno != 0 {
		return errno
	}
	return nil
}

// text is a name in a structure of C, up to its zero byte.
func text(field []byte) string { return unix.ByteSliceToString(field) }
