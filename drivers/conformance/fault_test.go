package conformance_test

import (
	"fmt"
	"math/rand/v2"
	"time"
)

// fault is something that a line does to one byte, or to all from there on.
type fault struct {
	kind     faultKind
	toDevice bool
	// at is the byte, counted from 0 in its direction.
	at int
	// bit that is turned over, or how the garbage looks.
	bit  uint
	late time.Duration
}

type faultKind uint8

const (
	lost faultKind = iota
	doubled
	flipped
	garbage
	late
	faultKinds
)

func (f fault) String() string {
	to := "driver"
	if f.toDevice {
		to = "device"
	}
	return fmt.Sprintf("byte %d to the %s %s (%d, %v)", f.at, to, [...]string{"lost", "doubled", "flipped", "after garbage", "late"}[f.kind], f.bit, f.late)
}

func (f fault) spoil(sent []byte) []byte {
	switch f.kind {
	case lost:
		return nil
	case doubled:
		return append(sent, sent...)
	case flipped:
		out := append([]byte(nil), sent...)
		for i := range out {
			out[i] ^= 1 << f.bit
		}
		return out
	case garbage:
		return append([]byte{byte(37 * f.bit), '\n', byte(0xF0 + f.bit), '7', 0x02}[:1+f.bit%5], sent...)
	case late, faultKinds:
	}
	return sent
}

// randomFault is a fault of one byte in so many. What comes later than four
// times the timeout is beyond what a driver can tell from the next answer, where
// answers have no numbers.
func randomFault(r *rand.Rand, among int, timeout time.Duration) fault {
	f := fault{kind: faultKind(r.IntN(int(faultKinds))), toDevice: r.IntN(2) == 0, at: r.IntN(among), bit: uint(r.IntN(8))}
	if f.kind == late {
		f.late = time.Duration(r.Int64N(int64(timeout * 38 / 10)))
	}
	return f
}
