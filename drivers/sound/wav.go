package sound

import (
	"errors"
	"fmt"
)

// Format is how samples stand in a file.
type Format struct {
	// Rate is in frames a second.
	Rate     int
	Channels int
	// Bits of a sample: 16, 24 or 32, or of a float 32 or 64.
	Bits  int
	Float bool
}

// String is such as "2 channels, 48000 Hz, 24 bits".
func (f Format) String() string {
	kind := "bits"
	if f.Float {
		kind = "bits float"
	}
	return fmt.Sprintf("%d channels, %d Hz, %d %s", f.Channels, f.Rate, f.Bits, kind)
}

// Tags of the format chunk: the old ones, and that which says that 22 more bytes
// follow. In those the old tag begins a GUID that ends as guidTail.
const (
	tagPCM        = 0x0001
	tagFloat      = 0x0003
	tagExtensible = 0xfffe
)

var guidTail = [14]byte{0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x80, 0x00, 0x00, 0xaa, 0x00, 0x38, 0x9b, 0x71}

// noSize stands in a size of 32 bits that is said elsewhere, or that the writer
// did not know.
const noSize = 0xffffffff

// mostChannels is more than any device has: a header that asks for more is
// damaged.
const mostChannels = 1024

// ErrNotWAV is a file that is no WAV file at all.
var ErrNotWAV = errors.New("not a WAV file: it begins with none of RIFF, RF64 and BW64")

func (f Format) frame() int { return f.Channels * f.Bits / 8 }

func (f Format) check() error {
	switch {
	case f.Channels < 1 || f.Channels > mostChannels:
		return fmt.Errorf("%d channels; 1 to %d can be", f.Channels, mostChannels)
	case f.Rate < 1000 || f.Rate > 768000:
		return fmt.Errorf("%d frames a second; 1000 to 768000 can be", f.Rate)
	case f.Float && f.Bits != 32 && f.Bits != 64:
		return fmt.Errorf("floats of %d bits; 32 and 64 are read", f.Bits)
	case !f.Float && f.Bits != 16 && f.Bits != 24 && f.Bits != 32:
		return fmt.Errorf("samples of %d bits; 16, 24 and 32 are read", f.Bits)
	}
	return nil
}
