package device

// Field is one part of a message.
type Field struct {
	Kind FieldKind
	// Bytes of a Literal.
	Bytes []byte
	// Value says what stands in a Number or Text field: output, input, code,
	// message, identity, packet, closed, length, or the name of a parameter.
	// Numbers of outputs and inputs count from 1; input 0 is off. closed is 1
	// for a closed crosspoint and 0 for an open one; length is the number of
	// bytes of the message less what Frame.Length adds to it.
	Value string
	Base  Base
	// Width is the number of digits, padded with zeros; 0 for as many as needed.
	Width int
	// Add is added to a number on its way out and taken off on its way in; so is
	// the parameter that Plus names, if it names one.
	Add  int
	Plus string
	// Bits are those of the number that stand here, where it comes in pieces.
	Bits Bits
	// Words stand for the numbers of a lookup table; a number with them has no
	// base.
	Words []Word
	// Over is what an Each runs through.
	Over Over
	// Separator stands between the rounds of an Each.
	Separator []byte
	// Of are the fields of an Each, a Block, a Checked, a Hexed or a Packed.
	Of []Field
	// Check of a Checked.
	Check Check
	// Bare is true for a Block whose content is also accepted without the
	// block's header.
	Bare bool
}

// FieldKind names the kinds of field.
type FieldKind uint8

const (
	// FieldUnknown is the zero value, in no description that was read.
	FieldUnknown FieldKind = iota
	// Literal bytes, always the same.
	Literal
	// Number in one of the bases.
	Number
	// Text up to the next literal, or to the end.
	Text
	// Each repeats its fields.
	Each
	// Block is IEEE 488.2 definite-length arbitrary block data (7.7.6, 8.7.9).
	Block
	// Channels is a SCPI-1999 channel list of crosspoints (Vol. 1, 8.3.2), such
	// as (@1!2,3!4): row!column. Which of output and input is the row, the
	// parameter "rows" says: outputs or inputs. Ranges are understood in
	// answers. Over Inputs it is sent only, and lists every input of one output.
	Channels
	// Checked are fields with their checksum right after them.
	Checked
	// Hexed are fields of which each byte is written as two hexadecimal digits.
	Hexed
	// Packed are numbers and literals that share the bits of one number, in
	// Base, the first of them in the highest bits.
	Packed
)

var fieldKinds = [...]string{"unknown", "literal", "number", "text", "each", "block", "channels", "checked", "hexed", "packed"}

func (k FieldKind) String() string {
	if int(k) < len(fieldKinds) {
		return fieldKinds[k]
	}
	return fieldKinds[0]
}

// Base is how a number is written.
type Base uint8

const (
	// BaseUnknown is the zero value, in no description that was read.
	BaseUnknown Base = iota
	// Decimal and Hexadecimal are ASCII digits.
	Decimal
	Hexadecimal
	// SevenBit is one byte from 0 to 127.
	SevenBit
	// EightBit is one byte from 0 to 255.
	EightBit
	// FourteenBit is two bytes of seven bits, the high one first.
	FourteenBit
	// FourteenBitLow is the same, the low one first.
	FourteenBitLow
	// SixteenBit is two bytes, the high one first.
	SixteenBit
	// SixteenBitLow is the same, the low one first.
	SixteenBitLow
)

var bases = [...]string{"unknown", "decimal", "hexadecimal", "7-bit", "8-bit", "14-bit", "14-bit-low-first", "16-bit", "16-bit-low-first"}

// Bytes is how many bytes a number of the base takes; 0 for one in digits.
func (b Base) Bytes() int {
	switch b {
	case SevenBit, EightBit:
		return 1
	case FourteenBit, FourteenBitLow, SixteenBit, SixteenBitLow:
		return 2
	case Decimal, Hexadecimal, BaseUnknown:
	}
	return 0
}

// Bits is how many bits a number of the base takes; 0 for one in digits.
func (b Base) Bits() int {
	switch b {
	case SevenBit:
		return 7
	case EightBit:
		return 8
	case FourteenBit, FourteenBitLow:
		return 14
	case SixteenBit, SixteenBitLow:
		return 16
	case Decimal, Hexadecimal, BaseUnknown:
	}
	return 0
}

// BaseNamed is the inverse of String; BaseUnknown for a word that is none.
func BaseNamed(word string) Base {
	for i, b := range bases {
		if i > 0 && b == word {
			return Base(i)
		}
	}
	return BaseUnknown
}

// Bits are some bits of a number, from Low, where 0 is the lowest, and Count of
// them. The zero Bits are all.
type Bits struct {
	Low, Count int
}

// Word is what stands for one number of a lookup table.
type Word struct {
	Number int
	Bytes  []byte
}

func (b Base) String() string {
	if int(b) < len(bases) {
		return bases[b]
	}
	return bases[0]
}

// Over is what an Each runs through.
type Over uint8

const (
	// OverUnknown is the zero value, in no description that was read.
	OverUnknown Over = iota
	// Changes are the crosspoints that one message carries.
	Changes
	// Outputs are all outputs of the device in order, each with its input.
	Outputs
	// Inputs are all inputs of one output in order, each closed or not.
	Inputs
)

func (o Over) String() string {
	switch o {
	case Changes:
		return "changes"
	case Outputs:
		return "outputs"
	case Inputs:
		return "inputs"
	case OverUnknown:
	}
	return "unknown"
}
