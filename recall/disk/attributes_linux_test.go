package disk

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/sys/unix"
)

// Extended attributes are kept, as access control lists are: by the same rule
// (xattr(7), acl(5)).
func TestAttributesAreKept(t *testing.T) {
	file := filepath.Join(t.TempDir(), "x.yaml")
	must(t, os.WriteFile(file, []byte("old"), 0o644))
	if err := unix.Setxattr(file, "user.author", []byte("heron"), 0); errors.Is(err, unix.ENOTSUP) {
		t.Skip("the file system of temporary files has no attributes")
	} else {
		must(t, err)
	}
	must(t, Replace(file, []byte("new"), nil))
	value := make([]byte, 100)
	n, err := unix.Getxattr(file, "user.author", value)
	if err != nil || string(value[:n]) != "heron" || text(file) != "new" {
		t.Errorf("%q, %v, and it holds %q", value[:max(n, 0)], err, text(file))
	}
	only(t, filepath.Dir(file), "x.yaml")
}
