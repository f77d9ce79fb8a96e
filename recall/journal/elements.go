package journal

import "encoding/binary"

// branch is one element of a branch page: the page below that begins with a key.
type branch struct {
	key  []byte
	page uint64
}

// leaf is one element of a leaf page.
type leaf struct {
	kind      uint32
	key, text []byte
}

// branches are the elements of a branch page.
func branches(page []byte) ([]branch, error) {
	count, err := counted(page)
	if err != nil {
		return nil, err
	}
	if count == 0 {
		return nil, stumbled("a branch has nothing below")
	}
	all := make([]branch, count)
	for i := range all {
		at := pageHead + i*elementSize
		e := page[at:]
		key, err := within(page, at, binary.NativeEndian.Uint32(e), binary.NativeEndian.Uint32(e[4:]))
		if err != nil {
			return nil, err
		}
		all[i] = branch{key, binary.NativeEndian.Uint64(e[8:])}
	}
	return all, nil
}

// leaves are the elements of a leaf page.
func leaves(page []byte) ([]leaf, error) {
	count, err := counted(page)
	if err != nil {
		return nil, err
	}
	all := make([]leaf, count)
	for i := range all {
		if all[i], err = leafAt(page, i); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// leafAt is the i-th element of a leaf page, of which the element itself lies
// within the page.
func leafAt(page []byte, i int) (leaf, error) {
	at := pageHead + i*elementSize
	e := page[at:]
	from, long, value := binary.NativeEndian.Uint32(e[4:]), binary.NativeEndian.Uint32(e[8:]), binary.NativeEndian.Uint32(e[12:])
	key, err := within(page, at, from, long)
	if err != nil {
		return leaf{}, err
	}
	text, err := within(page, at, from+long, value)
	return leaf{binary.NativeEndian.Uint32(e), key, text}, err
}

// counted is how many elements a page says it has, as far as they fit into it.
func counted(page []byte) (int, error) {
	count := int(binary.NativeEndian.Uint16(page[10:]))
	if pageHead+count*elementSize > len(page) {
		return 0, stumbled("a page claims %d elements", count)
	}
	return count, nil
}

// within is some bytes of a page, which lie a way behind the element that tells of
// them.
func within(page []byte, element int, from, long uint32) ([]byte, error) {
	begin := uint64(element) + uint64(from)
	if begin+uint64(long) > uint64(len(page)) {
		return nil, stumbled("an element lies outside its page")
	}
	return page[begin : begin+uint64(long) : begin+uint64(long)], nil
}
