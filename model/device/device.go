// Package device holds the description of one kind of matrix as values: what
// it is, the links it can hang on, its messages and the answers to expect.
//
// A description never becomes bytes here. Two rooms do that, each on its own,
// so that one misreading cannot cancel itself out: drivers/message for the
// computer's end of the line and simulators/answer for the device's.
package device

// Description is one kind of matrix.
type Description struct {
	Name, Label string
	// Standard is the open standard that the messages follow, with its edition.
	Standard string
	// Links are the kinds of link it can hang on.
	Links []Link
	// Serial is the framing it expects on a serial line.
	Serial Serial
	// Inputs and Outputs are fixed sizes; 0 where the studio gives the size.
	Inputs, Outputs int
	// MaxInputs and MaxOutputs bound a given size.
	MaxInputs, MaxOutputs int
	Switching             Switching
	// Presets are what its stored presets hold.
	Presets []Preset
	// Gangs are the outputs that it moves together.
	Gangs Gangs
	Frame Frame
	// Echo is true for a device that sends every message back before it answers.
	Echo       bool
	Parameters []Parameter
	// Opening are the steps that a link begins with.
	Opening []Step
	// Wake, if not empty, is sent before each message; WakePause milliseconds pass
	// after it.
	Wake      []byte
	WakePause int
	Exchanges []Exchange
	Pacing    Pacing
	// Prepare is what a person must set on it first, a sentence each.
	Prepare []string
	// Faults are those known, a sentence each.
	Faults      []string
	Transcripts []Transcript
}

// Preset is one that the device holds, by its number on the wire.
type Preset struct {
	Number int
	// Holds are pairs of an output and the input that it listens to, from 1; outputs that
	// it does not name are off.
	Holds [][2]int
}

// Step is one of those that a link begins with: something is sent, or awaited.
type Step struct {
	// Send are literals and texts that are sent.
	Send []Field
	// Expect is awaited in the stream, wherever it stands; Refused there means no.
	Expect, Refused []byte
	// Pause is how long nothing is done afterwards, Within how long is waited; both in
	// milliseconds, 0 for the usual timeout.
	Pause, Within int
}

// Exchange finds the exchange of a role; false if the device has none.
func (d Description) Exchange(role Role) (Exchange, bool) {
	for _, e := range d.Exchanges {
		if e.Role == role {
			return e, true
		}
	}
	return Exchange{}, false
}

// Link is a kind of link.
type Link uint8

const (
	// LinkUnknown is the zero value, in no description that was read.
	LinkUnknown Link = iota
	SerialLink
	TCPLink
	RFC2217Link
	MIDILink
	RawMIDILink
	PTYLink
)

func (l Link) String() string {
	switch l {
	case SerialLink:
		return "serial"
	case TCPLink:
		return "tcp"
	case RFC2217Link:
		return "rfc2217"
	case MIDILink:
		return "midi"
	case RawMIDILink:
		return "rawmidi"
	case PTYLink:
		return "pty"
	case LinkUnknown:
	}
	return "unknown"
}

// Serial is the framing of a serial line. A zero field was not said: 9600 baud,
// 8 data bits, no parity, 1 stop bit, no flow control.
type Serial struct {
	Baud, DataBits, StopBits int
	Parity                   string // none, even or odd
	// Flow is none, hardware (RTS and CTS) or software (XON and XOFF).
	Flow string
}

// Switching is what one message of the device moves.
type Switching uint8

const (
	// SwitchingUnknown is the zero value, in no description that was read.
	SwitchingUnknown Switching = iota
	// ByCrosspoint closes and opens single crosspoints (roles Close and Open).
	ByCrosspoint
	// ByOutput says which input an output listens to (roles Set and Off).
	ByOutput
)

func (s Switching) String() string {
	switch s {
	case ByCrosspoint:
		return "by-crosspoint"
	case ByOutput:
		return "by-output"
	case SwitchingUnknown:
	}
	return "unknown"
}

// Frame is how a stream of received bytes falls into messages.
type Frame struct {
	Kind FrameKind
	// End closes a message of lines, such as a line feed.
	End []byte
	// Prompt is what a device of lines says when it waits for the next request; no end
	// of a line follows it.
	Prompt []byte
	// Requests closes what is sent to the device; empty where nothing does.
	Requests []byte
	// Start opens a counted or a delimited message.
	Start []byte
	// After is how many bytes follow End in a delimited message.
	After int
	// Escape stands before each byte of a delimited message, between Start and End,
	// that would be taken for something else; Escaped says what stands after it.
	Escape  byte
	Escaped []Stuffed
	// Single are bytes that are messages of their own where a message may begin.
	Single []byte
	// Length says how long a counted message is.
	Length Length
}

// Stuffed is a byte of a message, and what stands for it after the escape.
type Stuffed struct{ Byte, As byte }

// Length is where a counted message says how long it is.
type Length struct {
	// At is the byte of the message at which the number stands, from 0.
	At   int
	Base Base
	// Width is how many digits a number in digits has; 0 for one in bytes.
	Width int
	// Add is what the whole message is longer than the number says, in bytes.
	Add int
}

// FrameKind names the ways of framing.
type FrameKind uint8

const (
	// FrameUnknown is the zero value, in no description that was read.
	FrameUnknown FrameKind = iota
	// Lines end in Frame.End; definite-length blocks (IEEE 488.2, 8.7.9) may
	// hold that byte.
	Lines
	// MIDIMessages are framed by the status bytes of MIDI 1.0.
	MIDIMessages
	// Counted messages open with Frame.Start and say how long they are.
	Counted
	// Delimited messages open with Frame.Start and close with Frame.End.
	Delimited
)

func (f FrameKind) String() string {
	switch f {
	case Lines:
		return "lines"
	case MIDIMessages:
		return "midi"
	case Counted:
		return "counted"
	case Delimited:
		return "delimited"
	case FrameUnknown:
	}
	return "unknown"
}

// Parameter is one thing that a studio may set for its device.
type Parameter struct {
	Name, Help string
	// Choices are the legal words; empty for a number.
	Choices []string
	// From and To bound a number.
	From, To int
	Default  string
	// Secret is true for a text that is not to be seen; the studio names the file or
	// the variable of the environment that holds it.
	Secret bool
}

// Role is what an exchange is for.
type Role uint8

const (
	// RoleUnknown is the zero value, in no description that was read.
	RoleUnknown Role = iota
	// Identify asks who is there.
	Identify
	// Close closes crosspoints and leaves all others alone.
	Close
	// Open opens crosspoints and leaves all others alone.
	Open
	// Set makes outputs listen to inputs.
	Set
	// Off makes outputs listen to nothing.
	Off
	// Read asks for every crosspoint of the device.
	Read
	// Settle asks for an answer when all is done.
	Settle
	// Errors asks for the oldest error that the device holds; its answer has a
	// number field "code", 0 for none, and a text field "message".
	Errors
	// Report is what the device sends by itself when somebody turns it by hand;
	// it has an answer and nothing to send.
	Report
	// ReadOutput asks which input one output listens to.
	ReadOutput
	// ReadRow asks for every crosspoint of one output.
	ReadRow
	// Cancel tells the device that its answer is no longer waited for.
	Cancel
	// Mute silences all of its outputs while crosspoints are changed; Unmute lets
	// them be heard again. Either may be sent twice without harm.
	Mute
	Unmute
	// Notice is what the device says by itself that says nothing of crosspoints; it
	// has an answer and nothing to send.
	Notice
	// RecallPreset recalls a stored preset, by the number "preset".
	RecallPreset
	// LabelOutput and LabelInput name an output or an input on the device's display, by
	// the text "label".
	LabelOutput
	LabelInput
)

var roles = [...]string{
	"unknown", "identify", "close", "open", "set", "off", "read", "settle", "errors", "report",
	"read-output", "read-row", "cancel", "mute", "unmute", "notice", "preset",
	"label-output", "label-input",
}

func (r Role) String() string {
	if int(r) < len(roles) {
		return roles[r]
	}
	return roles[0]
}

// RoleNamed is the inverse of String; RoleUnknown for a word that is none.
func RoleNamed(word string) Role {
	for i, r := range roles {
		if i > 0 && r == word {
			return Role(i)
		}
	}
	return RoleUnknown
}

// Exchange is one message with the answer that it brings.
type Exchange struct {
	Role Role
	Send []Field
	// Answer is empty where the device says nothing.
	Answer []Field
	// End, if not empty, is a message that closes the answer: what is answered comes
	// in any number of messages before it.
	End []Field
	// Refusal, if not empty, is an answer that means no.
	Refusal []Field
	// Busy, if not empty, is an answer that means not now: nothing was done, and
	// it may be asked again.
	Busy []Field
	// Wait, if not empty, announces an answer that will take long.
	Wait []Field
	// Cancelled, if not empty, is an answer that means that the device gave up
	// and may have done a part.
	Cancelled []Field
	// Batch is how many crosspoints or outputs one message can carry; at
	// least 1.
	Batch int
	// Largest is how many bytes one message may have; 0 for any number.
	Largest int
}

// Pacing is how fast the device can be talked to, in milliseconds.
type Pacing struct {
	// Gap is the rest between two messages.
	Gap int
	// Each is what each crosspoint of a message adds to Settle.
	Each int
	// Settle is how long a crosspoint takes to move.
	Settle int
	// Timeout is the longest wait for an answer.
	Timeout int
	// Retries is how often an unanswered question is asked again.
	Retries int
	// Readings is how many readings in a row must agree before they are
	// believed; 0 leaves it to whether a CRC guards the answer.
	Readings int
}

// Transcript is a conversation in bytes that the messages must reproduce. It
// comes from a standard or a device, never from an encoder of this project.
type Transcript struct {
	Title           string
	Source          string
	Inputs, Outputs int
	// Parameters of the device in this conversation.
	Parameters map[string]string
	Turns      []Turn
}

// Turn is one message of a transcript.
type Turn struct {
	Role Role
	// Sent is true for bytes to the device.
	Sent  bool
	Bytes []byte
	// Means is which of the answers to its message a received turn is, by the key of
	// the description: answer, end, refusal, busy, wait or cancelled.
	Means string
	// Says is what the bytes mean: crosspoints as output-input pairs of
	// numbers from 1, input 0 for off.
	Says [][2]int
}
