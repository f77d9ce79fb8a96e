package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"go.etcd.io/bbolt"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// large is a memory of a building: many cords, crosspoints, steps and pasts.
func large(rooms int) keep.Memory {
	m := full()
	m.Pasts, m.Intent.Others, m.Known = nil, nil, keep.Known{}
	for n := range rooms {
		bay := fmt.Sprintf("bay%d", n+1)
		p := patch.Patch{}
		for k := range 12 {
			c := patch.Cord{A: name.At(bay, "t", k+1), B: name.At(bay, "b", k+9)}
			p.Cords = append(p.Cords, c)
			fact := keep.Fact{How: keep.Told, Since: when}
			m.Known.Cords = append(m.Known.Cords, keep.KnownCord{Cord: c, Fact: fact})
			m.Known.Crosspoints = append(m.Known.Crosspoints, keep.KnownCrosspoint{Output: name.At(bay, "out", k+1), Input: name.At(bay, "in", 1), Fact: fact})
			m.Intent.Done = append(m.Intent.Done, keep.DoneStep{Step: plan.Step{ID: fmt.Sprint(n*12 + k), By: plan.Person, Do: plan.Plug, Ends: c.Ends(), After: []string{}}, Fact: fact})
		}
		m.Pasts = append(m.Pasts, keep.Past{Rooms: []string{bay}, Session: bay, Wanted: full().Intent.Wanted, Patch: p})
		m.Intent.Others = append(m.Intent.Others, keep.Held{Session: bay, Wanted: full().Intent.Wanted, Rooms: []string{bay}})
	}
	return m
}

// changed is a memory with something else in one of its lists, as keepers change them: the
// lists that were written are left as they are.
func changed(m keep.Memory, random *rand.Rand) keep.Memory {
	k := &m.Known
	switch at := random.IntN(len(k.Cords)); random.IntN(7) {
	case 0: // a tick
		k.Cords = append(slices.Clone(k.Cords), keep.KnownCord{Cord: patch.Cord{A: name.At("new", "t", random.IntN(1000)+1)}})
	case 1: // a cord that is out
		if len(k.Cords) > 1 {
			k.Cords = slices.Delete(slices.Clone(k.Cords), at, at+1)
		}
	case 2:
		k.Crosspoints = slices.Clone(k.Crosspoints)
		k.Crosspoints[random.IntN(len(k.Crosspoints))].How = keep.Read
	case 3:
		m.Pasts = slices.Delete(slices.Clone(m.Pasts), 0, min(1, len(m.Pasts)))
	case 4:
		m.Pasts = append(slices.Clone(m.Pasts), keep.Past{Session: fmt.Sprint(random.IntN(9)), Patch: patch.Patch{}})
	case 5:
		m.Intent.Left, m.Intent.Plan, m.Intent.Wanted = nil, nil, nil
	case 6:
		m.Intent.Left, m.Intent.Plan, m.Intent.Wanted = full().Intent.Left, full().Intent.Plan, full().Intent.Wanted
		m.Tags, m.Known.Dummies, m.Intent.Others = nil, nil, slices.Clone(m.Intent.Others)
		slices.Reverse(m.Intent.Others)
	}
	return m
}

// isLoaded fails unless a memory is what the journal gives, also to who opens it anew, and
// no other part is in the file.
func isLoaded(t *testing.T, file string, j *Journal, want keep.Memory) {
	t.Helper()
	m, err := j.Load()
	written, wrong := json.Marshal(want)
	read, unreadable := json.Marshal(m)
	if err := errors.Join(err, wrong, unreadable); err != nil || !bytes.Equal(written, read) {
		t.Fatalf("%v; it is read otherwise (-written +read):\n%s", err, cmp.Diff(want, m))
	}
	found, err := inspect(file)
	if err != nil {
		t.Fatal(err)
	}
	var names map[string]bool
	err = j.db.View(func(tx *bbolt.Tx) error {
		text, _, err := unsealMemory(tx.Bucket(stateBucket).Get(memoryKey))
		if err != nil {
			return err
		}
		all, err := named(text)
		names = map[string]bool{}
		for _, s := range all {
			names[s] = true
		}
		return err
	})
	if err != nil || !cmp.Equal(names, found.parts) || !cmp.Equal(names, j.parts) {
		t.Errorf("%d parts are named, %d are in the file and %d are known; %v", len(names), len(found.parts), len(j.parts), err)
	}
}

// Whatever comes, goes or changes in any list is read as it was written, and what no
// memory names any more is dropped.
func TestPartsAreReadAsTheyWere(t *testing.T) {
	file := filepath.Join(t.TempDir(), File)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(3, 4))
	m := large(5)
	for range 60 {
		if err := j.Write(m, nil); err != nil {
			t.Fatal(err)
		}
		isLoaded(t, file, j, m)
		m = changed(m, random)
	}
	for _, m := range []keep.Memory{full(), {}, large(2)} {
		if err := j.Write(m, nil); err != nil {
			t.Fatal(err)
		}
		isLoaded(t, file, j, m)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	if j, err = Open(file); err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	isLoaded(t, file, j, large(2))
}

// A tick writes as much in a building of 60 rooms as in one of 10, but for the names of
// its parts.
func TestTickWritesWhatChanged(t *testing.T) {
	tick := func(rooms int) (whole, fresh int) {
		c, m := newCutter(), large(rooms)
		_, parts, err := c.cut(m)
		if err != nil {
			t.Fatal(err)
		}
		had := map[string]bool{}
		for _, p := range parts {
			had[p.key] = true
			whole += len(p.text)
		}
		m.Known.Cords = append(slices.Clone(m.Known.Cords), keep.KnownCord{Cord: patch.Cord{A: name.At("new", "t", 1)}})
		m.Intent.Done = append(slices.Clone(m.Intent.Done), keep.DoneStep{Step: plan.Step{ID: "new", After: []string{}}})
		m.Intent.Left = nil
		if _, parts, err = c.cut(m); err != nil {
			t.Fatal(err)
		}
		for _, p := range parts {
			if !had[p.key] {
				fresh += len(p.text)
			}
		}
		return whole, fresh
	}
	for _, rooms := range []int{10, 60} {
		if whole, fresh := tick(rooms); fresh == 0 || fresh > 8*partSize || rooms == 60 && whole < 100*partSize {
			t.Errorf("%d rooms: a tick writes %d bytes of %d", rooms, fresh, whole)
		}
	}
}

// What was put into JSON for the memory before is not put into it again.
func TestElementsAreEncodedOnce(t *testing.T) {
	c, m := newCutter(), full()
	_, before, err := c.cut(m)
	if err != nil {
		t.Fatal(err)
	}
	if _, after, err := c.cut(m); err != nil || len(before) == 0 || &before[0].text[0] != &after[0].text[0] {
		t.Errorf("the same list was encoded again: %v", err)
	}
}

// A part that is lost or changed is damage: nothing is read without it.
func TestPartIsLost(t *testing.T) {
	for name, spoil := range map[string]func(b *bbolt.Bucket, key, text []byte) error{
		"lost":    func(b *bbolt.Bucket, key, _ []byte) error { return b.Delete(key) },
		"changed": func(b *bbolt.Bucket, key, text []byte) error { return b.Put(key, append(bytes.Clone(text), ' ')) },
	} {
		t.Run(name, func(t *testing.T) {
			file, _ := written(t, 3)
			db, err := bbolt.Open(file, 0o600, nil)
			if err != nil {
				t.Fatal(err)
			}
			err = db.Update(func(tx *bbolt.Tx) error {
				b := tx.Bucket(partsBucket)
				key, text := b.Cursor().First()
				return spoil(b, bytes.Clone(key), bytes.Clone(text))
			})
			if err := errors.Join(err, db.Close()); err != nil {
				t.Fatal(err)
			}
			if j, err := Open(file); !errors.Is(err, ErrDamaged) {
				t.Errorf("opened: %v", err)
				j.Close()
			}
			// What is whole is saved all the same, and an older memory is not called the newest.
			saved, err := Salvage(file)
			if err != nil || len(saved.Events) != 3 || saved.Memory != nil && saved.Writes == 3 && name == "lost" && !cmp.Equal(saved.Memory.Known, full().Known) {
				t.Errorf("saved %+v, %v", saved, err)
			}
		})
	}
}

// A write that the disk refuses leaves what is known of the parts in the file as it was.
func TestPartsAfterAFailure(t *testing.T) {
	file := filepath.Join(t.TempDir(), File)
	j, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	if err := j.Write(large(2), nil); err != nil {
		t.Fatal(err)
	}
	refused := []keep.Event{{At: time.Date(10_000, 1, 1, 0, 0, 0, 0, time.UTC)}} // a year that JSON has no form for
	if err := j.Write(large(4), refused); err == nil {
		t.Fatal("written")
	}
	isLoaded(t, file, j, large(2))
	if err := j.Write(large(4), nil); err != nil {
		t.Fatal(err)
	}
	isLoaded(t, file, j, large(4))
}

// A journal of version 4, as the program of then wrote it in two rooms, an undo in the one
// under way: the same memory is in it as before, now in parts.
func TestMemoryInOnePieceIsTakenOver(t *testing.T) {
	file, _ := old(t, "version-4-rooms")
	before, err := inspect(file)
	if err != nil || before.version != 4 {
		t.Fatalf("version %d, %v", before.version, err)
	}
	saved, err := Salvage(file)
	if err != nil || saved.Memory == nil || len(saved.Memory.Pasts) == 0 || len(saved.Memory.Known.Cords) == 0 || len(saved.Memory.Tags) == 0 {
		t.Fatalf("saved before: %+v, %v", saved.Memory, err)
	}
	for range 2 {
		j, err := Open(file)
		if err != nil {
			t.Fatal(err)
		}
		isLoaded(t, file, j, *saved.Memory)
		if j.end.last != before.end.last || j.end.writes != before.end.writes+1 {
			t.Errorf("the chain ends %+v, and ended %+v", j.end, before.end)
		}
		if err := j.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if copied, err := inspect(file + ".version-4"); err != nil || copied.version != 4 || copied.end != before.end {
		t.Errorf("the copy is of version %d and ends %+v, %v", copied.version, copied.end, err)
	}
	after, err := Salvage(file)
	if diff := cmp.Diff(saved.Memory, after.Memory); err != nil || diff != "" {
		t.Errorf("saved after: %v\n%s", err, diff)
	}
}

// Whatever a root says, reading it ends, and with no memory where a part is missing.
func FuzzJoin(f *testing.F) {
	text, parts, err := newCutter().cut(full())
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add([]byte(`{"memory":{},"lists":{"pasts":"AAA="}}`))
	f.Add([]byte(`{"intent":{}}`))
	f.Fuzz(func(t *testing.T, root []byte) {
		m, err := join(root, func(key string) ([]byte, bool) {
			i := slices.IndexFunc(parts, func(p part) bool { return p.key == key })
			if i < 0 {
				return nil, false
			}
			return parts[i].text, true
		})
		if err != nil && !cmp.Equal(m, keep.Memory{}) {
			t.Errorf("%v, and %+v", err, m)
		}
	})
}
