package device

import "slices"

// Field is one part of a message.
type Field struct {
	Kind FieldKind
	// Bytes of a Literal.
	Bytes []byte
	// Value says what stands in a Number or Text field: output, input, code,
	// message, identity, packet, closed, length, preset, label, or the name of a parameter.
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
	// Gang is true where an output or an input is counted in gangs of Gangs.Of: 1 for
	// the first gang of outputs, and for the inputs that it listens to.
	Gang bool
	// Words stand for the numbers of a lookup table; a number with them has no
	// base.
	Words []Word
	// Off stands for input 0; empty where 0 is written as any other number.
	Off []byte
	// Pad fills up a number or text of a fixed width; 0 means zeros for numbers and
	// spaces for texts. Left is true where it stands after the characters.
	Pad  byte
	Left bool
	// None stands in the place of an Each that has no rounds.
	None []byte
	// Choices are those of an Either; the first is what is sent.
	Choices [][]Field
	// First says which end of a Bitmap, of Nibbles or of Sevens comes first.
	First End
	// Order says which end of the number of a Bitmap stands first, and which of the high
	// bits of Sevens belongs to the first byte.
	Order End
	// Milliseconds of a Pause.
	Milliseconds int
	// Key of a member of an Object.
	Key string
	// Over is what an Each runs through.
	Over Over
	// Separator stands between the rounds of an Each.
	Separator []byte
	// Of are the fields of an Each, a Block, a Checked, a Hexed, a Packed, Nibbles,
	// Sevens or an Object.
	Of []Field
	// Check of a Checked.
	Check Check
	// Bare is true for a Block whose content is also accepted without the
	// block's header.
	Bare bool
}

// Carries says whether a number or text of that value stands among the fields, in any
// of them. A bitmap stands for its inputs and whether they are closed, and one of all
// crosspoints for its outputs.
func Carries(fields []Field, value string) bool {
	inside := func(choice []Field) bool { return Carries(choice, value) }
	return slices.ContainsFunc(fields, func(f Field) bool {
		switch {
		case f.Kind == Number || f.Kind == Text:
			return f.Value == value
		case f.Kind == Bitmap:
			return value == "closed" || value == "input" || value == "output" && f.Over == Crosspoints
		}
		return Carries(f.Of, value) || slices.ContainsFunc(f.Choices, inside)
	})
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
	// Either is one of several lists of fields.
	Either
	// Nibbles are fields of which each byte is written as two bytes of four bits.
	Nibbles
	// Sevens are fields of which each seven bytes are written as eight of seven bits:
	// their high bits in a byte of their own, which stands first or last.
	Sevens
	// Bitmap has a bit for each input of one output, for each output of one input, or
	// for each crosspoint.
	Bitmap
	// Object is a JSON object (RFC 8259) whose members are fields with keys. Members
	// come in any order; those that are not described are passed over.
	Object
	// Pause is a rest between two parts of what is sent.
	Pause
)

// End is one end of several bits or bytes.
type End uint8

const (
	// EndUnknown is the zero value: the usual one.
	EndUnknown End = iota
	High
	Low
)

var fieldKinds = [...]string{"unknown", "literal", "number", "text", "each", "block", "channels", "checked", "hexed", "packed", "either", "nibbles", "sevens", "bitmap", "object", "pause"}

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
	// FourteenBitLow is the same, the low one first; likewise with the others.
	FourteenBitLow
	// SixteenBit is two bytes, the high one first.
	SixteenBit
	SixteenBitLow
	// TwentyOneBit is three bytes of seven bits, TwentyFourBit three of eight.
	TwentyOneBit
	TwentyOneBitLow
	TwentyFourBit
	TwentyFourBitLow
	// TwentyEightBit is four bytes of seven bits, ThirtyTwoBit four of eight.
	TwentyEightBit
	TwentyEightBitLow
	ThirtyTwoBit
	ThirtyTwoBitLow
)

// shapes are the bases of a fixed number of bytes.
var shapes = [...]struct {
	name        string
	bytes, bits int
	lowFirst    bool
}{
	Decimal: {name: "decimal"}, Hexadecimal: {name: "hexadecimal"},
	SevenBit: {"7-bit", 1, 7, false}, EightBit: {"8-bit", 1, 8, false},
	FourteenBit: {"14-bit", 2, 7, false}, FourteenBitLow: {"14-bit-low-first", 2, 7, true},
	SixteenBit: {"16-bit", 2, 8, false}, SixteenBitLow: {"16-bit-low-first", 2, 8, true},
	TwentyOneBit: {"21-bit", 3, 7, false}, TwentyOneBitLow: {"21-bit-low-first", 3, 7, true},
	TwentyFourBit: {"24-bit", 3, 8, false}, TwentyFourBitLow: {"24-bit-low-first", 3, 8, true},
	TwentyEightBit: {"28-bit", 4, 7, false}, TwentyEightBitLow: {"28-bit-low-first", 4, 7, true},
	ThirtyTwoBit: {"32-bit", 4, 8, false}, ThirtyTwoBitLow: {"32-bit-low-first", 4, 8, true},
	BaseUnknown: {name: "unknown"},
}

// Bytes is how many bytes a number of the base takes; 0 for one in digits.
func (b Base) Bytes() int { return shapes[b].bytes }

// Bits is how many bits a number of the base takes; 0 for one in digits.
func (b Base) Bits() int { return shapes[b].bytes * shapes[b].bits }

// BitsPerByte is how many bits of a number one of its bytes takes; 0 for digits.
func (b Base) BitsPerByte() int { return shapes[b].bits }

// LowFirst says whether the low byte stands first.
func (b Base) LowFirst() bool { return shapes[b].lowFirst }

// BaseNamed is the inverse of String; BaseUnknown for a word that is none.
func BaseNamed(word string) Base {
	for i, b := range shapes {
		if i > 0 && b.name == word {
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

func (b Base) String() string { return shapes[b].name }

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
	// Crosspoints are all of the device, output by output.
	Crosspoints
	// EachGang are all gangs of outputs in order, each with its inputs.
	EachGang
)

func (o Over) String() string {
	switch o {
	case Changes:
		return "changes"
	case Outputs:
		return "outputs"
	case Inputs:
		return "inputs"
	case Crosspoints:
		return "crosspoints"
	case EachGang:
		return "gangs"
	case OverUnknown:
	}
	return "unknown"
}
