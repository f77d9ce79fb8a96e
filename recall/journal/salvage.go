package journal

import (
	"cmp"
	"encoding/binary"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"os"
	"slices"

	"bayhand/recall/keep"
)

// Saved is what could be read of a journal, damaged or not.
type Saved struct {
	// Memory is the newest of which all parts have their sums; nil where there is none.
	Memory *keep.Memory
	// Writes is how many writes it was of, Of how many there were as far as that
	// is known, 0 where it is not.
	Writes, Of uint64
	// Events have their sums, the oldest first.
	Events []keep.Event
	// Missing are the numbers of events that were not found, as ranges from the
	// first to the last.
	Missing [][2]uint64
}

// Check looks at every page and every sum of a journal, and changes nothing. An
// error that is ErrDamaged says what is wrong with it; ErrHeld that a process
// holds it, which has done the same when it opened it.
func Check(file string) error {
	_, err := look(file)
	return err
}

// look is Check, with what was found.
func look(file string) (contents, error) {
	if info, err := os.Stat(file); err != nil || info.Size() == 0 {
		return contents{}, errors.Join(err, begin(file))
	}
	found, err := examine(file)
	if err != nil || found.version < Version {
		return found, err // its sums are looked at when it is brought to the newest
	}
	return found, (&Journal{file: file}).upgrade(found)
}

// Salvage reads all of a file that is whole, wherever it lies: each memory and
// each event has a sum of its own, so what is found was written. It believes no
// page, changes nothing, and takes time linear in the size of the file. What was
// pruned may be found again, where nothing was written over it.
func Salvage(file string) (Saved, error) {
	f, err := os.Open(file)
	if err != nil {
		return Saved{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return Saved{}, err
	}
	s := salvager{events: map[uint64][]byte{}, parts: map[string][]byte{}, roots: map[end][]byte{}}
	for _, page := range pageSizes(f) {
		if err := s.scan(f, info.Size(), page); err != nil {
			return Saved{}, err
		}
	}
	saved, err := s.saved()
	saved.Of, _ = readLast(file)
	return saved, err
}

// pageSizes are the sizes of page to look for: the one that a head tells, or all.
func pageSizes(in io.ReaderAt) []int64 {
	if m, err := newestMeta(in); err == nil {
		return []int64{m.page}
	}
	var all []int64
	for size := int64(smallestPage); size <= largestPage; size *= 2 {
		all = append(all, size)
	}
	return all
}

type salvager struct {
	events map[uint64][]byte
	parts  map[string][]byte
	base   end
	// roots are memories, each once.
	roots map[end][]byte
	end   end
}

// scan looks for leaves in every page that begins as one.
func (s *salvager) scan(in io.ReaderAt, size, page int64) error {
	head := make([]byte, pageHead)
	for at := int64(0); at+page <= size; at += page {
		if _, err := in.ReadAt(head, at); err != nil {
			return err
		}
		more := int64(binary.NativeEndian.Uint32(head[12:]))
		if binary.NativeEndian.Uint16(head[8:]) != leafPage || more > (size-at)/page-1 {
			continue
		}
		text := make([]byte, (more+1)*page)
		if _, err := in.ReadAt(text, at); err != nil {
			return err
		}
		s.leaves(text)
	}
	return nil
}

// leaves takes each element that makes sense; the others are left.
func (s *salvager) leaves(page []byte) {
	count := int(binary.NativeEndian.Uint16(page[10:]))
	for i := 0; i < count && pageHead+(i+1)*elementSize <= len(page); i++ {
		v, err := leafAt(page, i)
		switch {
		case err != nil:
		case v.kind&bucketElement != 0:
			if len(v.text) >= bucketHead+pageHead && binary.NativeEndian.Uint64(v.text) == 0 {
				s.leaves(v.text[bucketHead:])
			}
		default:
			s.take(v)
		}
	}
}

func (s *salvager) take(v leaf) {
	switch {
	case string(v.key) == string(memoryKey):
		if text, e, err := unsealMemory(v.text); err == nil {
			s.roots[e] = text
			if e.writes > s.end.writes {
				s.end = e
			}
		}
	case string(v.key) == string(baseKey):
		if e, err := unsealBase(v.text); err == nil && e.seq > s.base.seq {
			s.base = e
		}
	case len(v.key) == 8:
		if text, _, _, err := unlink(v.text); err == nil {
			s.events[seqOf(v.key)] = text
		}
	case len(v.key) > sumSize && hasSum(string(v.key), v.text):
		s.parts[string(v.key)] = v.text
	}
}

// memory is the newest memory of which every part was found, and the write that it is of;
// nil where there is none.
func (s *salvager) memory() (*keep.Memory, uint64) {
	newestFirst := func(a, b end) int { return cmp.Compare(b.writes, a.writes) }
	for _, e := range slices.SortedFunc(maps.Keys(s.roots), newestFirst) {
		if m, err := s.join(s.roots[e]); err == nil {
			return &m, e.writes
		}
	}
	return nil, 0
}

// join is the memory of a root, or of what versions before it wrote.
func (s *salvager) join(text []byte) (keep.Memory, error) {
	m, err := join(text, func(key string) ([]byte, bool) { text, ok := s.parts[key]; return text, ok })
	if errors.Is(err, errNoRoot) {
		return readOld(text)
	}
	return m, err
}

// saved reads what was found and says what is missing.
func (s *salvager) saved() (Saved, error) {
	saved := Saved{Events: []keep.Event{}}
	saved.Memory, saved.Writes = s.memory()
	next := s.base.seq + 1
	for _, seq := range slices.Sorted(maps.Keys(s.events)) {
		var e keep.Event
		if err := json.Unmarshal(s.events[seq], &e); err != nil {
			return saved, err
		}
		saved.Events = append(saved.Events, e)
		if seq < next {
			continue // pruned, and found all the same
		}
		if seq > next {
			saved.Missing = append(saved.Missing, [2]uint64{next, seq - 1})
		}
		next = seq + 1
	}
	if next <= s.end.seq {
		saved.Missing = append(saved.Missing, [2]uint64{next, s.end.seq})
	}
	return saved, nil
}
