package watch

import (
	"encoding/binary"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"golang.org/x/sys/unix"
)

// closings say when somebody who wrote a file has closed it (inotify(7),
// IN_CLOSE_WRITE). The watch on changes does not tell, since other systems do not.
type closings struct {
	events *os.File
	files  chan string
	done   chan struct{}
	ended  chan struct{}
	// mu guards the field below.
	mu sync.Mutex
	// folders are those that are watched, by the numbers that the system gave them.
	folders map[int32]string
}

// newClosings is nil where the system has none left.
func newClosings() *closings {
	fd, err := unix.InotifyInit1(unix.IN_CLOEXEC | unix.IN_NONBLOCK)
	if err != nil {
		return nil
	}
	c := &closings{
		events: os.NewFile(uintptr(fd), "inotify"), files: make(chan string), folders: map[int32]string{},
		done: make(chan struct{}), ended: make(chan struct{}),
	}
	go c.run()
	return c
}

// add watches a folder too; one that is watched already stays so.
func (c *closings) add(folder string) {
	number, err := unix.InotifyAddWatch(int(c.events.Fd()), folder, unix.IN_CLOSE_WRITE|unix.IN_ONLYDIR)
	if err != nil {
		return // then its files wait longer
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.folders[int32(number)] = folder
}

func (c *closings) close() {
	close(c.done)
	c.events.Close()
	<-c.ended
}

// run hands on the paths of files until the watch is closed.
func (c *closings) run() {
	defer close(c.ended)
	room := make([]byte, 64<<10)
	for {
		n, err := c.events.Read(room)
		if err != nil {
			return
		}
		for rest := room[:n]; len(rest) >= unix.SizeofInotifyEvent; {
			// struct inotify_event: wd, mask, cookie, len, and a name filled up with zeros.
			number, length := int32(binary.NativeEndian.Uint32(rest)), int(binary.NativeEndian.Uint32(rest[12:]))
			name := strings.TrimRight(string(rest[unix.SizeofInotifyEvent:unix.SizeofInotifyEvent+length]), "\x00")
			rest = rest[unix.SizeofInotifyEvent+length:]
			if !c.tell(number, name) {
				return
			}
		}
	}
}

// tell hands on one file; false once the watch is closed.
func (c *closings) tell(number int32, name string) bool {
	c.mu.Lock()
	folder, known := c.folders[number]
	c.mu.Unlock()
	if !known || name == "" {
		return true
	}
	select {
	case c.files <- filepath.Join(folder, name):
		return true
	case <-c.done:
		return false
	}
}
