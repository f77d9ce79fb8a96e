package journal

import (
	"encoding/json"
	"reflect"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/recall/keep"
)

// list is one of those that are written in parts.
type list interface {
	// name is that of the list in a root.
	name() string
	// cut takes the elements out of a memory and gives their parts. A list without
	// elements stays as it is.
	cut(m *keep.Memory) ([]part, error)
	// fill puts elements, a JSON array, into a memory.
	fill(m *keep.Memory, elements []byte) error
}

// lists are all that are written in parts: whatever grows with the studio.
func lists() []list {
	return []list{
		long("pasts", func(m *keep.Memory) *[]keep.Past { return &m.Pasts }, deeply),
		long("others", func(m *keep.Memory) *[]keep.Held { return &m.Intent.Others }, deeply),
		long("done", func(m *keep.Memory) *[]keep.DoneStep { return &m.Intent.Done }, deeply),
		long("left", func(m *keep.Memory) *[]plan.Step { return &m.Intent.Left }, deeply),
		long("from-cords", func(m *keep.Memory) *[]patch.Cord { return &m.Intent.From.Cords }, same),
		long("from-crosspoints", func(m *keep.Memory) *[]patch.Crosspoint { return &m.Intent.From.Crosspoints }, same),
		long("known-cords", func(m *keep.Memory) *[]keep.KnownCord { return &m.Known.Cords }, same),
		long("known-crosspoints", func(m *keep.Memory) *[]keep.KnownCrosspoint { return &m.Known.Crosspoints }, same),
		one("wanted", func(m *keep.Memory) **session.Session { return &m.Intent.Wanted }),
		one("plan", func(m *keep.Memory) **plan.Plan { return &m.Intent.Plan }),
		one("back", func(m *keep.Memory) **patch.Patch { return &m.Intent.Back }),
	}
}

func deeply[T any](a, b T) bool { return reflect.DeepEqual(a, b) }

func same[T comparable](a, b T) bool { return a == b }

// listOf is a list of elements of a kind, with how it was cut last.
type listOf[T any] struct {
	key string
	// take takes all elements out of a memory, put puts them there.
	take  func(*keep.Memory) []T
	put   func(*keep.Memory, []T)
	same  func(a, b T) bool
	had   []element[T]
	parts []part
}

// long is a list that is a field of a memory.
func long[T any](key string, field func(*keep.Memory) *[]T, same func(a, b T) bool) list {
	return &listOf[T]{key: key, same: same,
		take: func(m *keep.Memory) []T {
			all := *field(m)
			if len(all) > 0 {
				*field(m) = nil
			}
			return all
		},
		put: func(m *keep.Memory, all []T) { *field(m) = all },
	}
}

// one is a value that a field of a memory points to, as a list of one.
func one[T any](key string, field func(*keep.Memory) **T) list {
	return &listOf[*T]{key: key, same: deeply[*T],
		take: func(m *keep.Memory) []*T {
			value := *field(m)
			if value == nil {
				return nil
			}
			*field(m) = nil
			return []*T{value}
		},
		put: func(m *keep.Memory, all []*T) { *field(m) = all[0] },
	}
}

func (l *listOf[T]) name() string { return l.key }

func (l *listOf[T]) cut(m *keep.Memory) ([]part, error) {
	values := l.take(m)
	now := make([]element[T], len(values))
	next, stays := 0, len(values) == len(l.had)
	for i, v := range values {
		at := l.find(v, next)
		if at >= 0 {
			now[i], next = l.had[at], at+1
		} else {
			text, err := json.Marshal(v)
			if err != nil {
				return nil, err
			}
			now[i] = element[T]{v, text, ends(text)}
		}
		stays = stays && at == i
	}
	if !stays {
		l.had, l.parts = now, partsOf(l.key, now)
	}
	return l.parts, nil
}

// ahead is how many elements may be gone between two that stayed for the second to be
// found. What is not found is put into JSON anew, and gives the same parts.
const ahead = 8

// find is where a value stood in the list as it was cut last, near a place; negative where
// it did not.
func (l *listOf[T]) find(v T, from int) int {
	for at := from; at < min(from+ahead, len(l.had)); at++ {
		if l.same(l.had[at].value, v) {
			return at
		}
	}
	return -1
}

func (l *listOf[T]) fill(m *keep.Memory, elements []byte) error {
	var all []T
	if err := json.Unmarshal(elements, &all); err != nil {
		return err
	}
	l.put(m, all)
	return nil
}
