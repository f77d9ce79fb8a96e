package scpi

import "fmt"

// fault is an entry of the error/event queue. The numbers and their texts are
// those of SCPI-1999, vol. 2, 21.8.9 to 21.8.16.
type fault struct {
	code int
	// info is what the device adds after the standard text; may be empty.
	info string
}

const (
	noError              = 0
	invalidCharacter     = -101
	syntaxError          = -102
	invalidSeparator     = -103
	dataTypeError        = -104
	parameterNotAllowed  = -108
	missingParameter     = -109
	headerSeparatorError = -111
	mnemonicTooLong      = -112
	undefinedHeader      = -113
	headerSuffixOutside  = -114
	numericDataError     = -120
	exponentTooLarge     = -123
	tooManyDigits        = -124
	suffixNotAllowed     = -138
	characterDataTooLong = -144
	invalidStringData    = -151
	invalidBlockData     = -161
	expressionError      = -170
	invalidExpression    = -171
	dataOutOfRange       = -222
	tooMuchData          = -223
	hardwareError        = -240
	queueOverflow        = -350
	inputBufferOverrun   = -363
	queryDeadlocked      = -430
)

var texts = map[int]string{
	noError:              "No error",
	invalidCharacter:     "Invalid character",
	syntaxError:          "Syntax error",
	invalidSeparator:     "Invalid separator",
	dataTypeError:        "Data type error",
	parameterNotAllowed:  "Parameter not allowed",
	missingParameter:     "Missing parameter",
	headerSeparatorError: "Header separator error",
	mnemonicTooLong:      "Program mnemonic too long",
	undefinedHeader:      "Undefined header",
	headerSuffixOutside:  "Header suffix out of range",
	numericDataError:     "Numeric data error",
	exponentTooLarge:     "Exponent too large",
	tooManyDigits:        "Too many digits",
	suffixNotAllowed:     "Suffix not allowed",
	characterDataTooLong: "Character data too long",
	invalidStringData:    "Invalid string data",
	invalidBlockData:     "Invalid block data",
	expressionError:      "Expression error",
	invalidExpression:    "Invalid expression",
	dataOutOfRange:       "Data out of range",
	tooMuchData:          "Too much data",
	hardwareError:        "Hardware error",
	queueOverflow:        "Queue overflow",
	inputBufferOverrun:   "Input buffer overrun",
	queryDeadlocked:      "Query DEADLOCKED",
}

func (f fault) Error() string { return f.String() }

// maxErrorText is the most characters of an error's text with what the device
// adds (SCPI-1999, vol. 2, 21.8; from memory).
const maxErrorText = 255

// String is the entry as SYSTem:ERRor? answers it, such as
// -113,"Undefined header;ABCD".
func (f fault) String() string {
	text := texts[f.code]
	if f.info != "" {
		text += ";" + quotable(f.info)
	}
	if len(text) > maxErrorText {
		text = text[:maxErrorText]
	}
	return fmt.Sprintf("%d,%q", f.code, text)
}

// quotable keeps the characters that may stand in string response data without
// doubling quotes (IEEE 488.2, 8.7.8), and so that %q adds no escapes.
func quotable(s string) string {
	kept := make([]byte, 0, min(len(s), maxErrorText))
	for i := 0; i < len(s) && i < maxErrorText; i++ {
		switch c := s[i]; {
		case c < ' ' || c > '~' || c == '"' || c == '\\':
			kept = append(kept, '.')
		default:
			kept = append(kept, c)
		}
	}
	return string(kept)
}

// event is the bit of the standard event status register that an error of that
// class sets: the hundreds of its number say which (SCPI-1999, vol. 2, 21.8.9 to
// 21.8.12).
func (f fault) event() byte {
	switch f.code / -100 {
	case 1:
		return eventCommand
	case 2:
		return eventExecution
	case 3:
		return eventDevice
	case 4:
		return eventQuery
	}
	return 0
}

// isCommandError says whether the message could not be understood.
func (f fault) isCommandError() bool { return f.event() == eventCommand }
