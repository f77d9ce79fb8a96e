package disk

import (
	"bytes"

	"golang.org/x/sys/unix"
)

// sameAttributes says whether two files have the same extended attributes, among them
// their access control lists (xattr(7), acl(5)).
func sameAttributes(a, b string) bool {
	one, other := attributes(a), attributes(b)
	return bytes.Equal(one, other)
}

// attributes are the names of a file's attributes as the system gives them; none where
// the file system has none.
func attributes(file string) []byte {
	names := make([]byte, 64<<10) // the most that the system gives (listxattr(2))
	n, err := unix.Listxattr(file, names)
	if err != nil {
		return nil
	}
	return names[:n]
}
