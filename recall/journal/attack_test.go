package journal

import (
	"bytes"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"bayhand/recall/keep"
)

// written makes a journal of some writes, closed, with branches, a list of free
// pages and values that take more than a page.
func written(t *testing.T, writes int) (file string, src []byte) {
	t.Helper()
	file = filepath.Join(t.TempDir(), File)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	for n := range writes {
		m := full()
		m.Intent.Recall = uint64(n)
		if err := j.Write(m, []keep.Event{{At: when, Recall: uint64(n), Text: strings.Repeat("x", 200)}}); err != nil {
			t.Fatal(err)
		}
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	if src, err = os.ReadFile(file); err != nil {
		t.Fatal(err)
	}
	return file, src
}

// structure are the offsets of everything in a file that is no key and no value:
// the heads, the head of each page, and each element.
func structure(src []byte) []int {
	page := os.Getpagesize()
	var all []int
	add := func(from, size int) {
		for i := from; i < min(from+size, len(src)); i++ {
			all = append(all, i)
		}
	}
	for at := 0; at < len(src); at += page {
		head := src[at:]
		switch count := int(binary.NativeEndian.Uint16(head[10:])); binary.NativeEndian.Uint16(head[8:]) {
		case metaPage:
			add(at, pageHead+metaSize)
		case leafPage, branchPage:
			add(at, pageHead+count*elementSize)
		case freelistPage:
			add(at, pageHead+count*8)
		}
	}
	return all
}

// Each bit of the structure is flipped, one at a time. None may end the process,
// and what is opened all the same has every write in it: the number of writes
// stands apart, so that not even the head of the last one may be lost.
// BAYHAND_FLIPS=all flips them all, an ordinary run each 61st.
func TestEachFlippedBitOfStructure(t *testing.T) {
	const writes = 40
	_, src := written(t, writes)
	step := 61
	if os.Getenv("BAYHAND_FLIPS") == "all" {
		step = 1
	}
	file := filepath.Join(t.TempDir(), File)
	writeLast(file, writes)
	tried, refused := 0, 0
	offsets := structure(src)
	for bit := 0; bit < 8*len(offsets); bit += step {
		spoilt := bytes.Clone(src)
		spoilt[offsets[bit/8]] ^= 1 << (bit % 8)
		if err := os.WriteFile(file, spoilt, 0o600); err != nil {
			t.Fatal(err)
		}
		tried++
		n, err := readAll(file)
		switch {
		case err != nil && (errors.Is(err, ErrDamaged) || errors.Is(err, ErrNewer)):
			refused++
		case err != nil:
			t.Errorf("bit %d of byte %d: %v", bit%8, offsets[bit/8], err)
		case n != writes:
			t.Errorf("bit %d of byte %d: read as of write %d of %d", bit%8, offsets[bit/8], n, writes)
		}
		// What is opened must not be left open by a failure.
		if after, _ := os.ReadFile(file); err != nil && !bytes.Equal(after, spoilt) {
			t.Errorf("bit %d of byte %d: the damaged file was changed", bit%8, offsets[bit/8])
		}
	}
	t.Logf("%d of %d refused", refused, tried)
	if refused < tried/2 {
		t.Errorf("only %d of %d were refused", refused, tried)
	}
}

// An older copy in the place of the journal is not taken for it.
func TestOlderCopyIsNotTaken(t *testing.T) {
	file, older := written(t, 3)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(j.Write(full(), nil), j.Close()); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, older, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err = Open(file)
	if !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), "write 3, and write 4") {
		t.Errorf("opened: %v", err)
	}
	if err := os.Remove(file + lastEnding); err != nil {
		t.Fatal(err)
	}
	if j, err = Open(file); err != nil {
		t.Fatalf("though a person said so: %v", err)
	}
	j.Close()
}

// An event that is dropped, exchanged or changed together with its own sum is
// seen by the others.
func TestChainHolds(t *testing.T) {
	for name, spoil := range map[string]func(*bbolt.Bucket) error{
		"dropped in the middle": func(b *bbolt.Bucket) error { return b.Delete(seqKey(4)) },
		"dropped at the front":  func(b *bbolt.Bucket) error { return b.Delete(seqKey(1)) },
		"dropped at the end":    func(b *bbolt.Bucket) error { return b.Delete(seqKey(6)) },
		"rewritten with a sum": func(b *bbolt.Bucket) error {
			_, before, _, err := unlink(b.Get(seqKey(3)))
			sealed, _ := link(before, []byte(`{"seq":3,"text":"another"}`))
			return errors.Join(err, b.Put(seqKey(3), sealed))
		},
		"one added": func(b *bbolt.Bucket) error {
			_, _, own, err := unlink(b.Get(seqKey(6)))
			sealed, _ := link(own, []byte(`{"seq":7,"text":"another"}`))
			return errors.Join(err, b.Put(seqKey(7), sealed))
		},
	} {
		t.Run(name, func(t *testing.T) {
			file, _ := written(t, 6)
			db, err := bbolt.Open(file, 0o600, nil)
			if err != nil {
				t.Fatal(err)
			}
			err = db.Update(func(tx *bbolt.Tx) error { return spoil(tx.Bucket(eventsBucket)) })
			if err := errors.Join(err, db.Close()); err != nil {
				t.Fatal(err)
			}
			if j, err := Open(file); !errors.Is(err, ErrDamaged) {
				t.Errorf("opened: %v", err)
				j.Close()
			}
		})
	}
}

// A journal with pages of another size than this machine's is read, and looked
// at all the same.
func TestPagesOfAnotherSize(t *testing.T) {
	file := filepath.Join(t.TempDir(), File)
	db, err := bbolt.Open(file, 0o600, &bbolt.Options{PageSize: 16 << 10})
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join((&Journal{db: db}).lay(), db.Close()); err != nil {
		t.Fatal(err)
	}
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(j.Write(full(), []keep.Event{{At: when}}), j.Close()); err != nil {
		t.Fatal(err)
	}
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := Check(file); err != nil {
		t.Error(err)
	}
	spoilt := false
	for at := 2 * 16 << 10; at < len(src); at += 16 << 10 {
		if binary.NativeEndian.Uint16(src[at+8:]) == leafPage {
			src[at+10], spoilt = 0xFF, true // more elements than fit
			src[at+11] = 0xFF
		}
	}
	if err := os.WriteFile(file, src, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := Check(file); !spoilt || !errors.Is(err, ErrDamaged) {
		t.Errorf("its leaves are spoilt: %v", err)
	}
}

// What is whole in a damaged journal is saved, and what is not is named.
func TestSalvage(t *testing.T) {
	const writes = 300
	file, src := written(t, writes)
	whole, err := Salvage(file)
	if err != nil || len(whole.Events) != writes || whole.Memory == nil || whole.Memory.Intent.Recall != writes-1 || whole.Missing != nil ||
		whole.Writes != writes || whole.Of != writes {
		t.Fatalf("of a whole journal: %d events, missing %v, write %d of %d, %v", len(whole.Events), whole.Missing, whole.Writes, whole.Of, err)
	}
	// A page of events is lost, with both heads.
	page, lost := os.Getpagesize(), 0
	clear(src[:2*page])
	for at := 2 * page; at < len(src) && lost == 0; at += page {
		text := src[at : at+page]
		if binary.NativeEndian.Uint16(text[8:]) != leafPage {
			continue
		}
		if all, err := leaves(text); err == nil && len(all) > 2 && len(all[0].key) == 8 && seqOf(all[0].key) > 20 {
			lost = len(all)
			clear(text)
		}
	}
	if err := os.WriteFile(file, src, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := Check(file); !errors.Is(err, ErrDamaged) {
		t.Errorf("checked: %v", err)
	}
	saved, err := Salvage(file)
	if err != nil || saved.Memory == nil || len(saved.Events) < writes-2*lost {
		t.Fatalf("saved %d events of %d, %v", len(saved.Events), writes, err)
	}
	missing := uint64(0)
	for _, m := range saved.Missing {
		missing += m[1] - m[0] + 1
	}
	if int(missing) != writes-len(saved.Events) {
		t.Errorf("%d events are missing, and %v are named", writes-len(saved.Events), saved.Missing)
	}
}

func TestBackUp(t *testing.T) {
	file, _ := written(t, 5)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := j.BackUp(t.Context()); err != nil {
		t.Fatal(err)
	}
	made, err := os.Stat(file + BackupEnding)
	if err != nil {
		t.Fatal(err)
	}
	if err := j.BackUp(t.Context()); err != nil {
		t.Fatal(err)
	}
	if again, err := os.Stat(file + BackupEnding); err != nil || !os.SameFile(made, again) {
		t.Errorf("a backup that is the newest was made anew: %v", err)
	}
	if err := errors.Join(j.Write(full(), []keep.Event{{At: when}}), j.BackUp(t.Context()), j.Close()); err != nil {
		t.Fatal(err)
	}
	// The backup is a journal of its own.
	k, err := Open(file + BackupEnding)
	if err != nil {
		t.Fatal(err)
	}
	defer k.Close()
	if events, err := k.Find(keep.Query{}); err != nil || len(events) != 6 {
		t.Errorf("it has %d events, %v", len(events), err)
	}
}

// A folder that takes nothing, and a file that may only be read, are no reason
// not to look.
func TestReadOnly(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Log("root may write everywhere: only the flag is tried")
	}
	file, _ := written(t, 5)
	j, err := open(file, true)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	j.cannot = errors.New("the disk takes nothing")
	found, err := inspect(file)
	if err := errors.Join(err, j.upgrade(found)); err != nil {
		t.Fatal(err)
	}
	if m, err := j.Load(); err != nil || m.Intent.Recall != 4 {
		t.Errorf("the memory is of recall %d, %v", m.Intent.Recall, err)
	}
	if err := j.Write(full(), nil); !errors.Is(err, j.cannot) {
		t.Errorf("written: %v", err)
	}
	if _, err := j.Prune(time.Now(), keep.Event{}); !errors.Is(err, j.cannot) {
		t.Errorf("pruned: %v", err)
	}
}

// The newest events are found without reading those before.
func TestNewestFirst(t *testing.T) {
	file, _ := written(t, 400)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	read := 0
	for _, before := range []uint64{0, 1, 200, 400, 1000} {
		read = 0
		most := min(3, int(before)-1)
		if before == 0 {
			most = 3
		}
		if err := j.backwards(0, before, func(keep.Event) bool { read++; return read < 3 }); err != nil || read != most {
			t.Errorf("before %d: %d events were read for %d, %v", before, read, most, err)
		}
	}
	if got, err := j.Find(keep.Query{Last: 2, Before: 200}); err != nil || len(got) != 2 || got[0].Seq != 198 || got[1].Seq != 199 {
		t.Errorf("the two before the 200th are %v, %v", got, err)
	}
	got, err := j.Find(keep.Query{Last: 3})
	if err != nil || len(got) != 3 || got[0].Seq != 398 || got[2].Seq != 400 {
		t.Errorf("the last three are %v, %v", got, err)
	}
}

func BenchmarkNewest20Of(b *testing.B) {
	for _, count := range []int{1_000, 100_000} {
		file := filepath.Join(b.TempDir(), File)
		j, err := Open(file)
		if err != nil {
			b.Fatal(err)
		}
		if err := j.Write(full(), make([]keep.Event, count)); err != nil {
			b.Fatal(err)
		}
		b.Run(keyText(seqKey(uint64(count))), func(b *testing.B) {
			for b.Loop() {
				if got, err := j.Find(keep.Query{Last: 20}); err != nil || len(got) != 20 {
					b.Fatal(len(got), err)
				}
			}
		})
		j.Close()
	}
}
