package journal

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"bayhand/recall/keep"
)

func writeOnce(t *testing.T, j *Journal, session string) {
	t.Helper()
	m := keep.Memory{Intent: keep.Intent{Session: session}}
	if err := j.Write(m, []keep.Event{{Kind: keep.Recalled, Session: session, Text: session}}); err != nil {
		t.Fatal(err)
	}
}

// A copy is made while the journal is written, is whole, and brings back what the
// room was in then; what it replaces stays beside it.
func TestCopyAndRestore(t *testing.T) {
	file, copied := filepath.Join(t.TempDir(), File), filepath.Join(t.TempDir(), "kept.db")
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	writeOnce(t, j, "first")
	if writes, err := Copy(file, copied); err != nil || writes == 0 {
		t.Fatalf("%d writes copied (%v)", writes, err)
	}
	if _, err := Copy(file, copied); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a copy over another one: %v", err)
	}
	writeOnce(t, j, "second")
	if _, err := Restore(file, copied); !errors.Is(err, ErrHeld) {
		t.Errorf("restored while it is held: %v", err)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	where, err := Restore(file, copied)
	if err != nil {
		t.Fatal(err)
	}
	if kept, err := os.ReadFile(where); err != nil || !bytes.Equal(kept, before) {
		t.Errorf("what was replaced is not kept at %q (%v)", where, err)
	}
	j, err = Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	if m, err := j.Load(); err != nil || m.Intent.Session != "first" {
		t.Errorf("restored is %q (%v)", m.Intent.Session, err)
	}
}

// A copy that is damaged is refused, and nothing is touched.
func TestDamagedCopyIsRefused(t *testing.T) {
	file := filepath.Join(t.TempDir(), File)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	writeOnce(t, j, "first")
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	bad := filepath.Join(t.TempDir(), "bad.db")
	at := bytes.Index(whole, []byte("first"))
	broken := bytes.Clone(whole)
	broken[at] ^= 1
	if err := os.WriteFile(bad, broken, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(file, bad); !errors.Is(err, ErrDamaged) {
		t.Errorf("got %v", err)
	}
	if now, err := os.ReadFile(file); err != nil || !bytes.Equal(now, whole) {
		t.Errorf("the journal was touched (%v)", err)
	}
	if left, _ := filepath.Glob(file + ".*"); len(left) > 1 {
		t.Errorf("beside it are %q", left)
	}
}
