package journal

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/fnv"
	"io"
)

// The file is a tree of pages as bbolt lays it out, in the byte order of the
// machine. The library believes what the pages say and maps them into memory, so
// that a flipped bit can end the whole process. This reader believes nothing:
// every number is held against the size of the file before it is followed.
//
// A page begins with its own number (8 bytes), its kind (2), how many elements
// it has (2) and how many more pages belong to it (4). A branch has elements of
// 16 bytes (where its key is, how long, the page below), a leaf too (a kind,
// where its key is, how long, how long the value is).
const (
	pageHead    = 16
	elementSize = 16

	branchPage   = 0x01
	leafPage     = 0x02
	metaPage     = 0x04
	freelistPage = 0x10

	// bucketElement marks a value that is a bucket: the page of its root (8 bytes,
	// 0 for a root that follows at once) and its sequence (8).
	bucketElement = 0x01
	bucketHead    = 16

	magic        = 0xED0CDAED
	fileVersion  = 2
	metaSize     = 64
	smallestPage = 1 << 10
	largestPage  = 64 << 10
	// noFreelist is the page of a list of free pages that was not written.
	noFreelist = ^uint64(0)
)

// errStumbled is what a reader says of pages that make no sense.
var errStumbled = errors.New("its pages make no sense")

func stumbled(form string, args ...any) error {
	return fmt.Errorf("%w: %s", errStumbled, fmt.Sprintf(form, args...))
}

// value is one value of the file with the path of buckets that it lies in.
type value struct {
	bucket    string
	sequence  uint64
	key, text []byte
}

// pages reads a file page by page.
type pages struct {
	in   io.ReaderAt
	size int64
	meta meta
	// seen are the pages that the tree or the list of free pages has.
	seen []bool
	each func(value) error
}

// meta is the newest of the two heads of the file.
type meta struct {
	page                      int64
	root, freelist, pages, tx uint64
}

// walk looks at every page of a file and hands each value to each, in the order
// of the keys. The slices are valid until each returns. It takes time linear in
// the size of the file, and an error of it is errStumbled, one of each, or one of
// reading.
func walk(in io.ReaderAt, size int64, each func(value) error) error {
	p := &pages{in: in, size: size, each: each}
	var err error
	if p.meta, err = newestMeta(in); err != nil {
		return err
	}
	if p.meta.pages > uint64(size/p.meta.page) {
		return stumbled("it has %d bytes where %d pages of %d were written", size, p.meta.pages, p.meta.page)
	}
	p.seen = make([]bool, p.meta.pages)
	if err := p.branch(p.meta.root, span{}, bucketIn{}); err != nil {
		return err
	}
	return p.free()
}

// newestMeta is the head with the higher transaction of those whose sum is right.
// The size of a page is known from the head itself, so the second is looked for
// where each possible size puts it.
func newestMeta(in io.ReaderAt) (meta, error) {
	var best meta
	found := false
	for at := int64(0); at <= largestPage; at = max(2*at, smallestPage) {
		m, ok := readMeta(in, at)
		if ok && (at == 0 || at == m.page) && (!found || m.tx > best.tx) {
			best, found = m, true
		}
	}
	if !found {
		return meta{}, stumbled("neither of its two heads is whole")
	}
	return best, nil
}

func readMeta(in io.ReaderAt, at int64) (meta, bool) {
	head := make([]byte, pageHead+metaSize)
	if _, err := in.ReadAt(head, at); err != nil {
		return meta{}, false
	}
	b := head[pageHead:]
	order := binary.NativeEndian
	sum := fnv.New64a()
	sum.Write(b[:metaSize-8])
	m := meta{
		page: int64(order.Uint32(b[8:])), root: order.Uint64(b[16:]),
		freelist: order.Uint64(b[32:]), pages: order.Uint64(b[40:]), tx: order.Uint64(b[48:]),
	}
	sound := order.Uint16(head[8:]) == metaPage && order.Uint32(b) == magic && order.Uint32(b[4:]) == fileVersion &&
		order.Uint64(b[56:]) == sum.Sum64() &&
		m.page >= smallestPage && m.page <= largestPage && m.page&(m.page-1) == 0
	return m, sound
}

// span bounds the keys of a page: from at the least, below to.
type span struct{ from, to []byte }

func (s span) holds(key []byte) bool {
	return bytes.Compare(s.from, key) <= 0 && (s.to == nil || bytes.Compare(key, s.to) < 0)
}

type bucketIn struct {
	name     string
	sequence uint64
}

// page reads one page with all that belong to it, once.
func (p *pages) page(n uint64) ([]byte, error) {
	if n < 2 || n >= p.meta.pages {
		return nil, stumbled("page %d is asked for, of %d", n, p.meta.pages)
	}
	head := make([]byte, pageHead)
	if _, err := p.in.ReadAt(head, int64(n)*p.meta.page); err != nil {
		return nil, err
	}
	more := uint64(binary.NativeEndian.Uint32(head[12:]))
	if at := binary.NativeEndian.Uint64(head); at != n {
		return nil, stumbled("page %d says that it is page %d", n, at)
	}
	if more >= p.meta.pages-n {
		return nil, stumbled("page %d claims %d more, of %d in all", n, more, p.meta.pages)
	}
	for i := n; i <= n+more; i++ {
		if p.seen[i] {
			return nil, stumbled("page %d is used twice", i)
		}
		p.seen[i] = true
	}
	text := make([]byte, int64(more+1)*p.meta.page)
	_, err := p.in.ReadAt(text, int64(n)*p.meta.page)
	return text, err
}

// branch reads a page of the tree and all below it.
func (p *pages) branch(n uint64, in span, bucket bucketIn) error {
	text, err := p.page(n)
	if err != nil {
		return err
	}
	switch kind := binary.NativeEndian.Uint16(text[8:]); kind {
	case leafPage:
		return p.leaf(text, in, bucket)
	case branchPage:
	default:
		return stumbled("page %d of the tree is of kind %#x", n, kind)
	}
	below, err := branches(text)
	if err != nil {
		return fmt.Errorf("page %d: %w", n, err)
	}
	for i, b := range below {
		if i == 0 && !in.holds(b.key) || i > 0 && !(span{from: below[i-1].key, to: in.to}).holds(b.key) {
			return stumbled("the keys of page %d are out of order", n)
		}
		to := in.to
		if i+1 < len(below) {
			to = below[i+1].key
		}
		if err := p.branch(b.page, span{b.key, to}, bucket); err != nil {
			return err
		}
	}
	return nil
}

// leaf reads the values of a page, and the buckets in it.
func (p *pages) leaf(text []byte, in span, bucket bucketIn) error {
	values, err := leaves(text)
	if err != nil {
		return err
	}
	for i, v := range values {
		if !in.holds(v.key) || i > 0 && bytes.Compare(values[i-1].key, v.key) >= 0 {
			return stumbled("the keys of a page are out of order")
		}
		if v.kind&bucketElement == 0 {
			if err := p.each(value{bucket.name, bucket.sequence, v.key, v.text}); err != nil {
				return err
			}
			continue
		}
		if err := p.bucket(v); err != nil {
			return err
		}
	}
	return nil
}

// bucket reads a bucket, whose only page may lie in the value itself. The
// journal has no buckets in buckets.
func (p *pages) bucket(v leaf) error {
	if len(v.text) < bucketHead {
		return stumbled("a bucket has %d bytes", len(v.text))
	}
	root := binary.NativeEndian.Uint64(v.text)
	in := bucketIn{string(v.key), binary.NativeEndian.Uint64(v.text[8:])}
	if root != 0 {
		return p.branch(root, span{}, in)
	}
	inline := v.text[bucketHead:]
	if len(inline) < pageHead || binary.NativeEndian.Uint16(inline[8:]) != leafPage {
		return stumbled("a small bucket has no page")
	}
	return p.leaf(inline, span{}, in)
}

// free reads the list of free pages: a page that is free and used would be
// written over. Every page but the two heads is one of both.
func (p *pages) free() error {
	if p.meta.freelist != noFreelist {
		text, err := p.page(p.meta.freelist)
		if err != nil {
			return err
		}
		if err := p.markFree(text); err != nil {
			return err
		}
	}
	for n := 2; n < len(p.seen); n++ {
		if !p.seen[n] {
			return stumbled("page %d is neither used nor free", n)
		}
	}
	return nil
}

func (p *pages) markFree(text []byte) error {
	order := binary.NativeEndian
	if order.Uint16(text[8:]) != freelistPage {
		return stumbled("there is no list of free pages")
	}
	count, at := uint64(order.Uint16(text[10:])), pageHead
	if count == 0xFFFF { // more than a count of two bytes can say
		count, at = order.Uint64(text[at:]), at+8
	}
	if count > uint64(len(text)-at)/8 {
		return stumbled("the list of free pages claims %d", count)
	}
	last := uint64(1)
	for i := range count {
		n := order.Uint64(text[at+8*int(i):])
		if n <= last || n >= p.meta.pages || p.seen[n] {
			return stumbled("page %d cannot be free", n)
		}
		p.seen[n], last = true, n
	}
	return nil
}
