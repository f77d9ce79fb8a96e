package journal

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/recall/keep"
)

func TestDamageIsRefusedAndKept(t *testing.T) {
	good := filepath.Join(t.TempDir(), File)
	j, err := Open(good)
	if err != nil {
		t.Fatal(err)
	}
	for range 40 {
		if err := j.Write(full(), []keep.Event{{At: when, Text: strings.Repeat("x", 200)}}); err != nil {
			t.Fatal(err)
		}
	}
	j.Close()
	whole, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	page := os.Getpagesize()
	zeroed := func(from, to int) []byte {
		b := bytes.Clone(whole)
		clear(b[from:to])
		return b
	}
	for _, c := range []struct {
		name string
		src  []byte
	}{
		{"a text file", []byte("not a journal\n")},
		{"a long text file", bytes.Repeat([]byte("not a journal\n"), 4000)},
		{"cut short", whole[:3*page]},
		{"cut to one page", whole[:page]},
		{"both heads lost", zeroed(0, 2*page)},
		{"all but the heads lost", zeroed(2*page, len(whole))},
		{"noise", noise(whole, page)},
		{"empty", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), File)
			if err := os.WriteFile(file, c.src, 0o600); err != nil {
				t.Fatal(err)
			}
			j, err := Open(file)
			if err == nil {
				j.Close()
				t.Fatal("opened")
			}
			if !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), "move it away") {
				t.Errorf("refused with: %v", err)
			}
			if after, _ := os.ReadFile(file); !bytes.Equal(after, c.src) {
				t.Error("the file was changed")
			}
		})
	}
}

// noise overwrites everything behind the heads, the same way each time.
func noise(whole []byte, page int) []byte {
	b := bytes.Clone(whole)
	x := uint32(1)
	for i := 2 * page; i < len(b); i++ {
		x = x*1664525 + 1013904223
		b[i] = byte(x >> 24)
	}
	return b
}

// Whichever bit is flipped, and wherever the file is cut: either it is refused,
// or what is read is what was written. One of the two heads may be lost with the
// write that it belongs to, as when the power failed during that write; then it
// is the write before.
func TestFlippedBits(t *testing.T) {
	folder := t.TempDir()
	good := filepath.Join(folder, File)
	j, err := Open(good)
	if err != nil {
		t.Fatal(err)
	}
	const writes = 12
	for n := range writes {
		m := full()
		m.Intent.Recall = uint64(n)
		if err := j.Write(m, []keep.Event{{At: when, Recall: uint64(n), Text: strings.Repeat("x", 200)}}); err != nil {
			t.Fatal(err)
		}
	}
	j.Close()
	whole, err := os.ReadFile(good)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(1, 2))
	refused := 0
	for i := range 120 {
		src := bytes.Clone(whole)
		if random.IntN(8) == 0 {
			src = src[:random.IntN(len(src)-1)+1]
		} else {
			for range 1 + random.IntN(3) {
				src[random.IntN(len(src))] ^= 1 << random.IntN(8)
			}
		}
		// Each has its own file: a library that stumbled may hold on to the last.
		file := filepath.Join(folder, "spoilt-"+strconv.Itoa(i)+".db")
		if err := os.WriteFile(file, src, 0o600); err != nil {
			t.Fatal(err)
		}
		n, err := readAll(file)
		if err != nil {
			refused++
			if !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrNewer) {
				t.Errorf("refused with: %v", err)
			}
			continue
		}
		if n != writes && n != writes-1 {
			t.Errorf("what was read is that of write %d", n)
		}
	}
	if refused < 20 {
		t.Errorf("only %d of 120 were refused", refused)
	}
}

// readAll reads a journal, and gives the number of the write that it has; an
// error of its own where that is none.
func readAll(file string) (int, error) {
	j, err := Open(file)
	if err != nil {
		return 0, err
	}
	defer j.Close()
	m, err := j.Load()
	if err != nil {
		return 0, err
	}
	events, err := j.Find(keep.Query{})
	if err != nil {
		return 0, err
	}
	n := int(m.Intent.Recall) + 1
	wanted := full()
	wanted.Intent.Recall = m.Intent.Recall
	if !cmp.Equal(m, wanted) || len(events) != n {
		return 0, fmt.Errorf("read was something else: %d events at write %d", len(events), n)
	}
	return n, nil
}
