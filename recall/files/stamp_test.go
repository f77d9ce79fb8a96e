package files

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"bayhand/recall/disk"
)

// A file that is replaced while it is read, by one that was written long ago, has changed: the
// stamp is of what was there before the reading, not after it.
func TestAFileThatIsReplacedWhileItIsRead(t *testing.T) {
	folder := t.TempDir()
	file, other := filepath.Join(folder, "tern.yaml"), filepath.Join(folder, "older.yaml")
	write := func(to, text string, age time.Duration) {
		t.Helper()
		at := time.Now().Add(-age)
		if err := os.WriteFile(to, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(to, at, at); err != nil {
			t.Fatal(err)
		}
	}
	for _, age := range []time.Duration{0, time.Hour, 48 * time.Hour} {
		write(file, "session: Tern\n", time.Minute)
		write(other, "session: Gull\n", age)
		src, seen, err := stamped(file, func(file string) ([]byte, error) {
			src, err := disk.Text(file)
			if err := os.Rename(other, file); err != nil {
				t.Fatal(err)
			}
			return src, err
		})
		if err != nil || string(src) != "session: Tern\n" {
			t.Fatalf("read %q, %v", src, err)
		}
		if _, is := seen.look(disk.Stat); is != changed {
			t.Errorf("a file of %v ago is in its place, and the look says %v", age, is)
		}
		_, now, err := stamped(file, disk.Text)
		if err != nil {
			t.Fatal(err)
		}
		if _, is := now.look(disk.Stat); is != unchanged {
			t.Errorf("nothing has changed since, and the look says %v", is)
		}
	}
}

// A file that is not there is as it was until it is.
func TestAFileThatIsNotThere(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tern.yaml")
	_, seen, err := stamped(file, disk.Text)
	if err == nil {
		t.Fatal("a file that is not there was read")
	}
	if _, is := seen.look(disk.Stat); is != unchanged {
		t.Errorf("it is not there still, and the look says %v", is)
	}
	if err := os.WriteFile(file, []byte("session: Tern\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, is := seen.look(disk.Stat); is != changed {
		t.Errorf("it is there, and the look says %v", is)
	}
}
