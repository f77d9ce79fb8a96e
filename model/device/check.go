package device

// Check is a checksum over some bytes, and how it is written.
type Check struct {
	Kind CheckKind
	Form CheckForm
	CRC  CRC
}

// CheckKind names the ways to compute one.
type CheckKind uint8

const (
	// CheckUnknown is the zero value, in no description that was read.
	CheckUnknown CheckKind = iota
	// XOR of all bytes.
	XOR
	// Sum is that of all bytes, modulo 256.
	Sum
	// NegatedSum is what makes the sum of all bytes and itself 0 modulo 256, the
	// two's complement.
	NegatedSum
	// InvertedSum is the sum with every bit turned over, the one's complement.
	InvertedSum
	// CyclicRedundancy is a CRC.
	CyclicRedundancy
)

var checkKinds = [...]string{"unknown", "xor", "sum", "negated-sum", "inverted-sum", "crc"}

func (k CheckKind) String() string {
	if int(k) < len(checkKinds) {
		return checkKinds[k]
	}
	return checkKinds[0]
}

// CheckKindNamed is the inverse of String; CheckUnknown for a word that is none.
func CheckKindNamed(word string) CheckKind {
	for i, k := range checkKinds {
		if i > 0 && k == word {
			return CheckKind(i)
		}
	}
	return CheckUnknown
}

// CheckForm is how a checksum is written.
type CheckForm uint8

const (
	// FormUnknown is the zero value, in no description that was read.
	FormUnknown CheckForm = iota
	// HighFirst are its bytes, the high one first.
	HighFirst
	// LowFirst are its bytes, the low one first.
	LowFirst
	// HexDigits are two hexadecimal digits a byte, in capitals, the high one
	// first.
	HexDigits
	// SevenBits are its lowest seven bits in one byte, as MIDI needs them.
	SevenBits
)

var checkForms = [...]string{"unknown", "high-first", "low-first", "hexadecimal", "7-bit"}

func (f CheckForm) String() string {
	if int(f) < len(checkForms) {
		return checkForms[f]
	}
	return checkForms[0]
}

// CheckFormNamed is the inverse of String; FormUnknown for a word that is none.
func CheckFormNamed(word string) CheckForm {
	for i, f := range checkForms {
		if i > 0 && f == word {
			return CheckForm(i)
		}
	}
	return FormUnknown
}

// CRC are the parameters of a cyclic redundancy check as catalogues of CRCs give
// them: the polynomial without its highest term, the register at the start, bits
// low first on the way in and out, and what the result is XORed with.
type CRC struct {
	// Width is in bits, 8 to 32, a multiple of 8.
	Width                 int
	Poly, Init, XOROut    uint32
	ReflectIn, ReflectOut bool
}

// Bytes is how many bytes the checksum takes in a message.
func (c Check) Bytes() int {
	size := 1
	if c.Kind == CyclicRedundancy {
		size = c.CRC.Width / 8
	}
	switch c.Form {
	case HexDigits:
		return 2 * size
	case SevenBits:
		return 1
	case HighFirst, LowFirst, FormUnknown:
	}
	return size
}
