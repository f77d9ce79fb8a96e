package journal

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
)

// The head of a page, as bbolt lays it out in the order of the machine: its own
// number (8 bytes), flags (2), a count (2), how many more pages belong to it (4).
// The library believes the last of these, and would follow a spoilt one through
// four thousand million pages.
const pageHead = 16

// bounded looks at the head of every page that says who it is, before the
// library does: none may claim pages behind the end of the file. A file that is
// not there is sound.
func bounded(file string) error {
	f, err := os.Open(file)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	size := int64(os.Getpagesize())
	pages := uint64(info.Size() / size)
	head := make([]byte, pageHead)
	for n := range pages {
		if _, err := f.ReadAt(head, int64(n)*size); err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		more := binary.NativeEndian.Uint32(head[12:])
		if binary.NativeEndian.Uint64(head) == n && uint64(more) >= pages-n {
			return fmt.Errorf("%w: page %d claims %d more, of %d in all", errStumbled, n, more, pages)
		}
	}
	return nil
}
