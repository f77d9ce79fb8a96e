package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"slices"
	"strings"

	"go.etcd.io/bbolt"

	"bayhand/recall/keep"
)

// In a building a memory is most of a megabyte, and a tick changes a cord of it. So the
// long lists of a memory are written in parts, each once: a part is some elements that
// follow each other, as JSON, and its key has its sum. The memory itself names the parts
// of each list, in order. What no memory names any more is dropped with the write that
// stopped naming it.
//
// Where a part ends depends on its last element alone, so that what is put into a list or
// taken out of it changes the part that it was in and none behind it.
type part struct {
	key  string
	sum  sum
	text []byte
}

// partKey is the name of a list and a sum. So the parts of a list lie together in the
// file, and what changes in a list of short elements moves no long ones of another.
func partKey(list string, s sum) string { return list + string(s[:]) }

// partSize is how long a part is on average where its elements are much shorter.
const partSize = 1 << 10

// ends says whether an element is the last of its part: the more likely, the longer.
func ends(element []byte) bool {
	return int(crc32.Checksum(element, castagnoli)%partSize) < len(element)
}

// root is what is written under memoryKey: a memory without what its lists have.
type root struct {
	// Memory is nil in what versions before 5 wrote.
	Memory *keep.Memory `json:"memory"`
	// Lists are the sums of the parts of each list, one behind the other.
	Lists map[string][]byte `json:"lists,omitempty"`
}

// cutter cuts memories, of which each is mostly as the one before: what was put into JSON
// for that is not put into it again. Nobody changes what was in a memory that it has cut.
type cutter struct{ lists []list }

func newCutter() cutter { return cutter{lists: lists()} }

// cut is the JSON of a root, and the parts that it names.
func (c cutter) cut(m keep.Memory) (text []byte, parts []part, err error) {
	r := root{Memory: &m, Lists: map[string][]byte{}}
	for _, l := range c.lists {
		of, err := l.cut(&m)
		if err != nil {
			return nil, nil, err
		}
		for _, p := range of {
			r.Lists[l.name()] = append(r.Lists[l.name()], p.sum[:]...)
		}
		parts = append(parts, of...)
	}
	text, err = json.Marshal(r)
	return text, parts, err
}

var (
	// errPart is what is wrong where a part is not there.
	errPart = errors.New("a part of what the room is in is missing")
	// errNoRoot is what is wrong with what versions before partsVersion wrote.
	errNoRoot = errors.New("what the room is in is not told")
)

// join is the memory of a root, with the parts that it names; part gives the text of one.
func join(text []byte, part func(key string) ([]byte, bool)) (keep.Memory, error) {
	var r root
	if err := json.Unmarshal(text, &r); err != nil {
		return keep.Memory{}, err
	}
	if r.Memory == nil {
		return keep.Memory{}, errNoRoot
	}
	for _, l := range lists() {
		sums, err := sumsOf(r.Lists[l.name()])
		if err != nil {
			return keep.Memory{}, err
		}
		elements := []byte{'['}
		for i, s := range sums {
			text, ok := part(partKey(l.name(), s))
			if !ok {
				return keep.Memory{}, errPart
			}
			if i > 0 {
				elements = append(elements, ',')
			}
			elements = append(elements, text...)
		}
		if len(sums) == 0 {
			continue
		}
		if err := l.fill(r.Memory, append(elements, ']')); err != nil {
			return keep.Memory{}, fmt.Errorf("%s: %w", l.name(), err)
		}
	}
	return *r.Memory, nil
}

// sumsOf are the sums that stand one behind the other.
func sumsOf(text []byte) ([]sum, error) {
	if len(text)%sumSize != 0 {
		return nil, errSum
	}
	var all []sum
	for s := range slices.Chunk(text, sumSize) {
		all = append(all, sum(s))
	}
	return all, nil
}

// named are the keys of all parts that a root names.
func named(text []byte) ([]string, error) {
	var r struct{ Lists map[string][]byte }
	if err := json.Unmarshal(text, &r); err != nil {
		return nil, err
	}
	var all []string
	for list, of := range r.Lists {
		sums, err := sumsOf(of)
		if err != nil {
			return nil, err
		}
		for _, s := range sums {
			all = append(all, partKey(list, s))
		}
	}
	return all, nil
}

// element is one of a list, in JSON.
type element[T any] struct {
	value T
	text  []byte
	ends  bool
}

// partsOf are the parts of the elements of a list.
func partsOf[T any](list string, all []element[T]) []part {
	var parts []part
	for from, i := 0, 0; i < len(all); i++ {
		if !all[i].ends && i < len(all)-1 {
			continue
		}
		var texts [][]byte
		for _, e := range all[from : i+1] {
			texts = append(texts, e.text)
		}
		text := bytes.Join(texts, []byte{','})
		own := sumOf(text)
		parts, from = append(parts, part{partKey(list, own), own, text}), i+1
	}
	return parts
}

// putParts writes parts that are not in the bucket yet, drops those in it that are none
// of them, and gives the keys of those that are there then.
func putParts(b *bbolt.Bucket, had map[string]bool, parts []part) (map[string]bool, error) {
	has := make(map[string]bool, len(parts))
	for _, p := range parts {
		if !had[p.key] && !has[p.key] {
			if err := b.Put([]byte(p.key), p.text); err != nil {
				return nil, err
			}
		}
		has[p.key] = true
	}
	for key := range had {
		if !has[key] {
			if err := b.Delete([]byte(key)); err != nil {
				return nil, err
			}
		}
	}
	return has, nil
}

// partsIn gives the texts of parts in a file.
func partsIn(tx *bbolt.Tx) func(key string) ([]byte, bool) {
	return func(key string) ([]byte, bool) {
		text := tx.Bucket(partsBucket).Get([]byte(key))
		return text, text != nil && hasSum(key, text)
	}
}

// hasSum says whether the key of a part ends with the sum of its text.
func hasSum(key string, text []byte) bool {
	own := sumOf(text)
	return strings.HasSuffix(key, string(own[:]))
}
