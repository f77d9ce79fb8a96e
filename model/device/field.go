package device

// Field is one part of a message.
type Field struct {
	Kind FieldKind
	// Bytes of a Literal.
	Bytes []byte
	// Value says what stands in a Number or Text field: output, input, code,
	// message, identity, packet, or the name of a parameter. Numbers of outputs
	// and inputs count from 1; input 0 is off.
	Value string
	Base  Base
	// Width is the number of digits, padded with zeros; 0 for as many as needed.
	Width int
	// Add is added to a number on its way out and taken off on its way in.
	Add int
	// Over is what an Each runs through.
	Over Over
	// Separator stands between the rounds of an Each.
	Separator []byte
	// Of are the fields of an Each or a Block.
	Of []Field
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
	// answers.
	Channels
)

var fieldKinds = [...]string{"unknown", "literal", "number", "text", "each", "block", "channels"}

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
)

var bases = [...]string{"unknown", "decimal", "hexadecimal", "7-bit", "8-bit"}

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
)

func (o Over) String() string {
	switch o {
	case Changes:
		return "changes"
	case Outputs:
		return "outputs"
	case OverUnknown:
	}
	return "unknown"
}
