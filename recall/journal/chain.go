package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"

	"bayhand/recall/keep"
)

// The pages of the file have no sums of their own: a flipped bit in a value would
// be read as another jack, and one in a page could drop an event. So each event
// carries the sum of the one before it and its own sum over both, as the links of
// a chain do; the memory carries the number and the sum of the last event, and
// its own. Whoever has the memory knows whether the history is whole.
//
//	event   sum of the one before (16 bytes), own sum (16), JSON
//	memory  own sum (16), number of the last event (8), its sum (16), how many
//	        writes there were (8), JSON, which names the parts of its lists
//	part    JSON, whose sum (16) is the end of its key
//
// A sum is the first 16 bytes of SHA-256 (FIPS 180-4) over all that follows it
// and, for an event, the sum before it.
const sumSize = 16

type sum [sumSize]byte

var errSum = errors.New("a value does not have its sum")

func sumOf(parts ...[]byte) (s sum) {
	h := sha256.New()
	for _, p := range parts {
		h.Write(p)
	}
	copy(s[:], h.Sum(nil))
	return s
}

// link is an event as it is written, after one with that sum; and its own sum.
func link(before sum, text []byte) ([]byte, sum) {
	own := sumOf(before[:], text)
	sealed := make([]byte, 0, 2*sumSize+len(text))
	sealed = append(append(sealed, before[:]...), own[:]...)
	return append(sealed, text...), own
}

// unlink is the JSON of an event, and the sums before it and of itself.
func unlink(sealed []byte) (text []byte, before, own sum, err error) {
	if len(sealed) < 2*sumSize {
		return nil, before, own, errSum
	}
	before, own, text = sum(sealed[:sumSize]), sum(sealed[sumSize:2*sumSize]), sealed[2*sumSize:]
	if sumOf(before[:], text) != own {
		return nil, before, own, errSum
	}
	return text, before, own, nil
}

func readEvent(sealed []byte) (e keep.Event, err error) {
	text, _, _, err := unlink(sealed)
	if err != nil {
		return e, err
	}
	return e, json.Unmarshal(text, &e)
}

// end is the end of the chain, as the memory has it.
type end struct {
	// seq is the number of the last event, last its sum.
	seq  uint64
	last sum
	// writes is how often the memory was written.
	writes uint64
}

const endSize = 8 + sumSize + 8

func (e end) bytes() []byte {
	b := binary.BigEndian.AppendUint64(make([]byte, 0, endSize), e.seq)
	return binary.BigEndian.AppendUint64(append(b, e.last[:]...), e.writes)
}

// sealMemory is a memory as it is written, with the end of the chain.
func sealMemory(text []byte, e end) []byte {
	rest := append(e.bytes(), text...)
	own := sumOf(rest)
	return append(own[:], rest...)
}

func unsealMemory(sealed []byte) (text []byte, e end, err error) {
	if len(sealed) < sumSize+endSize {
		return nil, e, errSum
	}
	rest := sealed[sumSize:]
	if sumOf(rest) != sum(sealed[:sumSize]) {
		return nil, e, errSum
	}
	e = end{binary.BigEndian.Uint64(rest), sum(rest[8 : 8+sumSize]), binary.BigEndian.Uint64(rest[8+sumSize:])}
	return rest[endSize:], e, nil
}

// base is where the chain begins: the number and the sum of the last event that
// was pruned; zero where none was. It is written as the memory's end is.
func sealBase(e end) []byte { return sealMemory(nil, e) }

func unsealBase(sealed []byte) (end, error) {
	if sealed == nil {
		return end{}, nil
	}
	_, e, err := unsealMemory(sealed)
	return e, err
}

// chain follows the events of a file, one after the other.
type chain struct{ at end }

// next takes the event with a key, or says why it does not follow.
func (c *chain) next(key, sealed []byte) error {
	_, before, own, err := unlink(sealed)
	if err != nil {
		return fmt.Errorf("event %s: %w", keyText(key), err)
	}
	if want := seqKey(c.at.seq + 1); !bytes.Equal(key, want) {
		return fmt.Errorf("event %d is missing: event %s follows event %d", c.at.seq+1, keyText(key), c.at.seq)
	}
	if before != c.at.last {
		return fmt.Errorf("event %d does not follow the one before it", c.at.seq+1)
	}
	c.at.seq, c.at.last = c.at.seq+1, own
	return nil
}

// seqKey is the number of an event, in the order of the bucket.
func seqKey(seq uint64) []byte { return binary.BigEndian.AppendUint64(nil, seq) }

func seqOf(key []byte) uint64 { return binary.BigEndian.Uint64(key) }

func keyText(key []byte) string {
	if len(key) != 8 {
		return fmt.Sprintf("%x", key)
	}
	return fmt.Sprint(binary.BigEndian.Uint64(key))
}
