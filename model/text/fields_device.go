package text

// DeviceFields are the fields of a device description.
func DeviceFields() Table { return descriptionFields }

var (
	descriptionLinks = []string{"serial", "tcp", "rfc2217", "midi", "rawmidi", "pty"}
	roleWords        = []string{"identify", "close", "open", "set", "off", "read", "settle", "errors", "report", "read-output", "read-row", "cancel", "mute", "unmute", "notice", "preset", "label-output", "label-input"}
	baseWords        = []string{
		"decimal", "hexadecimal", "7-bit", "8-bit", "14-bit", "14-bit-low-first", "16-bit", "16-bit-low-first", "21-bit", "21-bit-low-first",
		"24-bit", "24-bit-low-first", "28-bit", "28-bit-low-first", "32-bit", "32-bit-low-first",
	}
	bitmapBaseWords = []string{"decimal", "hexadecimal", "7-bit", "8-bit"}
	endWordsTwo     = []string{"high", "low"}
	checkWords      = []string{"xor", "sum", "negated-sum", "inverted-sum", "crc"}
	checkFormWords  = []string{"high-first", "low-first", "hexadecimal", "7-bit"}
)

var serialFields = Table{Name: "the framing of a serial line", Fields: []Field{
	{Key: "baud", Kind: Number, From: 50, To: 4000000, Form: "9600", Help: "bits in a second"},
	{Key: "data-bits", Kind: Number, From: 5, To: 8, Form: "8", Help: "bits of data in a character"},
	{Key: "parity", Kind: Word, Words: []string{"none", "even", "odd"}, Form: "none", Help: "the parity bit"},
	{Key: "stop-bits", Kind: Number, From: 1, To: 2, Form: "1", Help: "stop bits after a character"},
	{Key: "flow", Kind: Word, Words: []string{"none", "hardware", "software"}, Form: "none", Help: "flow control: by RTS and CTS, or by XON and XOFF, which no message may contain"},
}}

var sizeFields = Table{Name: "the size of a matrix", Fields: []Field{
	{Key: "inputs", Kind: Number, From: 1, To: most, Form: "8", Required: true, Help: "its inputs"},
	{Key: "outputs", Kind: Number, From: 1, To: most, Form: "8", Required: true, Help: "its outputs"},
}}

var frameFields = Table{Name: "the framing of messages", Fields: []Field{
	{Key: "lines", Kind: Other, Form: `"\n"`, Help: "what ends a line: text, or {bytes: 0D 0A}"},
	{Key: "prompt", Kind: Other, Form: `"> "`, Help: "what it says when it waits for a line, without the end of one"},
	{Key: "requests", Kind: Other, Form: `"\r"`, Help: "what ends a message to it, or none; left out, what all of them end in"},
	{Key: "start", Kind: Text, Form: `"02"`, Help: "the bytes, in hexadecimal, that open a message which says how long it is, or which has an end"},
	{Key: "length", Kind: Record, Of: &lengthFields, Form: "{at: 1, base: 8-bit, add: 4}", Help: "where that message says how long it is"},
	{Key: "end", Kind: Text, Form: `"03"`, Help: "the bytes, in hexadecimal, that close it"},
	{Key: "after", Kind: Number, From: 1, To: 16, Form: "1", Help: "how many bytes follow the end, such as a checksum"},
	{Key: "escape", Kind: Record, Of: &escapeFields, Form: `{byte: "10", as: {"03": "83", "10": "90"}}`, Help: "how bytes between start and end are written that would be taken for others"},
	{Key: "single", Kind: Text, Form: `"06 15"`, Help: "bytes, in hexadecimal, each of which is a message of its own where one may begin"},
}}

var rawFields = Table{Name: "bytes", Fields: []Field{
	{Key: "bytes", Kind: Text, Form: "0D 0A", Required: true, Help: "bytes in hexadecimal"},
}}

var escapeFields = Table{Name: "an escape", Fields: []Field{
	{Key: "byte", Kind: Text, Form: `"10"`, Required: true, Help: "the byte, in hexadecimal, that stands before another"},
	{Key: "as", Kind: Other, Form: `{"03": "83", "10": "90"}`, Required: true, Help: "what stands after it, by the byte that is meant; both in hexadecimal"},
}}

var stepFields = Table{Name: "a step of the opening", Fields: []Field{
	{Key: "send", Kind: Other, Form: `["\r"]`, Help: "texts, bytes and parameters to send"},
	{Key: "expect", Kind: Other, Form: `"login: "`, Help: "what is awaited, with or without the end of a line"},
	{Key: "refused", Kind: Other, Form: `"incorrect"`, Help: "what means no where that is awaited"},
	{Key: "pause", Kind: Text, Form: "100 ms", Help: "how long nothing is sent afterwards"},
	{Key: "within", Kind: Text, Form: "5 s", Help: "how long is waited; the timeout of the pacing otherwise"},
}}

var wakeFields = Table{Name: "a wake-up", Fields: []Field{
	{Key: "send", Kind: Other, Form: `{bytes: "00"}`, Required: true, Help: "what is sent before each message: text, or {bytes: 00}"},
	{Key: "pause", Kind: Text, Form: "20 ms", Required: true, Help: "how long nothing is sent afterwards"},
}}

var lengthFields = Table{Name: "the length of a message", Fields: []Field{
	{Key: "at", Kind: Number, From: 1, To: 255, Form: "1", Required: true, Help: "the byte of the message at which the number stands, counted from 0"},
	{Key: "base", Kind: Word, Words: baseWords, Form: "8-bit", Required: true, Help: "how the number is written"},
	{Key: "width", Kind: Number, From: 1, To: 9, Form: "3", Help: "how many digits it has, where it is written in digits"},
	{Key: "add", Kind: Number, From: -65536, To: 65536, Form: "4", Help: "what the whole message is longer than the number says, in bytes"},
}}

var parameterFields = Table{Name: "a parameter", Fields: []Field{
	{Key: "choices", Kind: Texts, Form: "[outputs, inputs]", Help: "the legal words"},
	{Key: "from", Kind: Number, From: -65536, To: 65536, Form: "0", Help: "the lowest number"},
	{Key: "to", Kind: Number, From: -65536, To: 65536, Form: "127", Help: "the highest number"},
	{Key: "default", Kind: Text, Form: "outputs", Help: "what it is where the studio does not say"},
	{Key: "secret", Kind: Flag, Form: "true", Help: "whether it is a text that nobody is to see; the studio says file:PATH or env:NAME"},
	{Key: "help", Kind: Text, Form: "the device ID that is set on its panel", Required: true, Help: "what it is"},
}}

var exchangeFields = Table{Name: "a message", Fields: []Field{
	{Key: "batch", Kind: Number, From: 1, To: 1000, Form: "16", Help: "how many crosspoints or outputs one message can carry"},
	{Key: "send", Kind: Other, Form: `["WHO\n"]`, Help: "the fields to send"},
	{Key: "answer", Kind: Other, Form: `["I AM ", {text: identity}, "\n"]`, Help: "the fields of the answer; without it the device says nothing"},
	{Key: "end", Kind: Other, Form: `["OK\n"]`, Help: "the fields of a message that closes the answer, which may then come in several messages, or in none"},
	{Key: "refusal", Kind: Other, Form: `["NO\n"]`, Help: "the fields of an answer that means no"},
	{Key: "busy", Kind: Other, Form: `["BUSY\n"]`, Help: "the fields of an answer that means not now: nothing was done, and it is asked again"},
	{Key: "wait", Kind: Other, Form: `["WAIT\n"]`, Help: "the fields of a message that says that the answer will take long"},
	{Key: "cancelled", Kind: Other, Form: `["STOPPED\n"]`, Help: "the fields of an answer that means that the device gave up half way"},
	{Key: "largest", Kind: Number, From: 1, To: 65536, Form: "64", Help: "how many bytes one message may have, where that is less than its batch"},
}}

// messageFields are the keys of one field of a message. The first ones say what
// kind of field it is, as many as fieldKeys has.
var messageFields = Table{Name: "a field of a message", Fields: []Field{
	{Key: "bytes", Kind: Text, Form: "F0 7D", Help: "bytes that are always the same, in hexadecimal"},
	{Key: "number", Kind: Text, Form: "output", Help: "a number: output, input, code, packet, preset or a parameter"},
	{Key: "text", Kind: Text, Form: "identity", Help: "text up to the next literal or the end: identity, message, label or a parameter"},
	{Key: "each", Kind: Word, Words: []string{"changes", "outputs", "inputs", "gangs"}, Form: "changes", Help: "fields that are repeated: for each change, each output, each input of one output, or each gang of outputs"},
	{Key: "block", Kind: Other, Form: "[{channels: changes}]", Help: "an IEEE 488.2 definite-length block with fields inside"},
	{Key: "channels", Kind: Word, Words: []string{"changes", "inputs"}, Form: "changes", Help: "a SCPI-1999 channel list: of crosspoints, or of every input of one output"},
	{Key: "check", Kind: Word, Words: checkWords, Form: "xor", Help: "fields with their checksum right after them"},
	{Key: "hex", Kind: Other, Form: "[{number: output, base: 8-bit}]", Help: "fields of which each byte is written as two hexadecimal digits"},
	{Key: "packed", Kind: Other, Form: "[{number: output, bits: 4}, {number: input, bits: 4}]", Help: "numbers that share the bits of one, the highest bits first"},
	{Key: "either", Kind: Other, Form: `[["OK"], ["DONE"]]`, Help: "lists of fields, any one of which stands there; the first is what is sent"},
	{Key: "nibbles", Kind: Other, Form: "[{number: output, base: 8-bit}]", Help: "fields of which each byte is written as two bytes of four bits"},
	{Key: "sevens", Kind: Other, Form: "[{number: output, base: 8-bit}]", Help: "fields of which seven bytes are written as eight of seven bits, their high bits together (MIDI 1.0, file dump)"},
	{Key: "bitmap", Kind: Word, Words: []string{"inputs", "outputs", "crosspoints"}, Form: "inputs", Help: "a bit for each input of one output, for each output of one input, or for each crosspoint, output by output"},
	{Key: "json", Kind: Other, Form: `{cmd: "set", out: {number: output}, in: {number: input, off: null}}`, Help: "a JSON object, its members in any order and spacing"},
	{Key: "pause", Kind: Text, Form: "20 ms", Help: "a rest between two parts of what is sent"},
	{Key: "base", Kind: Word, Words: baseWords, Form: "decimal", Help: "how a number is written"},
	{Key: "off", Kind: Other, Form: `"---"`, Help: "what stands for no input: text where a number is in digits, bytes in hexadecimal where it is not"},
	{Key: "gang", Kind: Flag, Form: "true", Help: "whether an output, or an input, is counted in gangs: 1 for out1-2, 2 for out3-4"},
	{Key: "pad", Kind: Text, Form: `" "`, Help: "the character that fills up a width; 0 for numbers, a space for texts"},
	{Key: "align", Kind: Word, Words: []string{"left", "right"}, Form: "right", Help: "on which side of a width the characters stand"},
	{Key: "none", Kind: Other, Form: `"NONE"`, Help: "what stands there where each has nothing to run through"},
	{Key: "first", Kind: Word, Words: endWordsTwo, Form: "high", Help: "which of two nibbles is first; whether the high bits of sevens stand first; which bit of a bitmap is number 1"},
	{Key: "order", Kind: Word, Words: endWordsTwo, Form: "high", Help: "which end of a bitmap's number is first; whether the highest of the high bits belongs to the first of seven bytes"},
	{Key: "width", Kind: Number, From: 1, To: 4096, Form: "3", Help: "the characters of a number or a text, filled up; the digits or bytes of a bitmap; the bits of a CRC"},
	{Key: "words", Kind: Other, Form: `{0: "OFF", 1: "MIC"}`, Help: "the words of a lookup table that stand for numbers"},
	{Key: "bits", Kind: Text, Form: "7-13", Help: "the bits of the number that stand here, 0 the lowest; in packed, how many bits it takes"},
	{Key: "plus", Kind: Text, Form: "first", Help: "a parameter that is added to a number on its way out"},
	{Key: "as", Kind: Word, Words: checkFormWords, Form: "low-first", Help: "how a checksum is written"},
	{Key: "poly", Kind: Text, Form: `"8005"`, Help: "the polynomial of a CRC in hexadecimal, without its highest term"},
	{Key: "init", Kind: Text, Form: `"FFFF"`, Help: "what the register of a CRC holds at the start, in hexadecimal"},
	{Key: "reflect-in", Kind: Flag, Form: "true", Help: "whether a CRC takes the low bit of each byte first"},
	{Key: "reflect-out", Kind: Flag, Form: "true", Help: "whether a CRC is turned round before it is written"},
	{Key: "xor-out", Kind: Text, Form: `"0000"`, Help: "what a CRC is XORed with at the end, in hexadecimal"},
	{Key: "add", Kind: Number, From: -65536, To: 65536, Form: "-1", Help: "what is added to a number on its way out"},
	{Key: "separator", Kind: Other, Form: `" "`, Help: "what stands between the rounds of each"},
	{Key: "of", Kind: Other, Form: "[{number: output, base: decimal}]", Help: "the fields that each repeats"},
	{Key: "bare", Kind: Flag, Form: "true", Help: "whether the content of a block is read without its header too"},
}}

// fieldKeys are the other keys that each kind of field may have.
var fieldKeys = map[string][]string{
	"bytes": {"bits"}, "number": {"base", "width", "add", "plus", "bits", "words", "off", "pad", "align", "gang"}, "text": {"width", "pad", "align"}, "each": {"separator", "of", "none"},
	"either": {}, "nibbles": {"first"}, "sevens": {"first", "order"}, "bitmap": {"base", "width", "first", "order"}, "json": {}, "pause": {},
	"block": {"bare"}, "channels": {}, "hex": {}, "packed": {"base"},
	"check": {"of", "as", "width", "poly", "init", "reflect-in", "reflect-out", "xor-out"},
}

var pacingFields = Table{Name: "the pacing", Fields: []Field{
	{Key: "gap", Kind: Text, Form: "0 ms", Help: "the rest between two messages"},
	{Key: "settle", Kind: Text, Form: "10 ms", Help: "how long a crosspoint takes to move"},
	{Key: "each", Kind: Text, Form: "5 ms", Help: "how long each crosspoint of a message takes beside that, where they move one after the other"},
	{Key: "timeout", Kind: Text, Form: "1 s", Help: "the longest wait for an answer"},
	{Key: "retries", Kind: Number, From: 0, To: 10, Form: "2", Help: "how often an unanswered question is asked again"},
	{Key: "readings", Kind: Number, From: 1, To: 5, Form: "2", Help: "how many readings in a row must agree; 1 where a CRC guards the answer, else 2"},
}}

var transcriptFields = Table{Name: "a transcript", Fields: []Field{
	{Key: "title", Kind: Text, Form: "two crosspoints closed", Required: true, Help: "what happens in it"},
	{Key: "source", Kind: Text, Form: "SCPI-1999 vol. 2, ch. 15", Required: true, Help: "the standard or device that it comes from"},
	{Key: "size", Kind: Text, Form: "16x16", Help: "inputs x outputs of the matrix in it"},
	{Key: "parameters", Kind: Settings, Form: "{rows: outputs}", Help: "the parameters of the matrix in it"},
	{Key: "turns", Kind: Texts, Form: `['> close out1 in2: ROUT:CLOS (@1!2)\n']`, Required: true, Help: "the messages, > to the device and < from it"},
}}

var descriptionFields = Table{Name: "a device description", Fields: []Field{
	{Key: "device", Kind: Name, Form: "scpi-switch", Required: true, Help: "the name of the description"},
	{Key: "label", Kind: Text, Form: "Signal switcher, SCPI-1999", Help: "what people read"},
	{Key: "standard", Kind: Text, Form: "SCPI-1999, IEEE 488.2-1992", Help: "the standard that the messages follow, with its edition"},
	{Key: "links", Kind: Texts, Form: "[serial, tcp]", Required: true, Help: "the links that it can be connected to"},
	{Key: "serial", Kind: Record, Of: &serialFields, Form: "{baud: 9600}", Help: "the framing that it expects on a serial line"},
	{Key: "size", Kind: Other, Of: &sizeFields, Form: "given", Required: true, Help: "given, where the studio says it, or {inputs: 8, outputs: 8}"},
	{Key: "max-inputs", Kind: Number, From: 1, To: most, Form: "64", Help: "the most inputs of a given size"},
	{Key: "max-outputs", Kind: Number, From: 1, To: most, Form: "64", Help: "the most outputs of a given size"},
	{Key: "switching", Kind: Word, Words: []string{"by-crosspoint", "by-output"}, Form: "by-output", Required: true, Help: "what one message moves"},
	{Key: "gangs", Kind: Other, Form: "2", Help: "outputs that it moves together: how many neighbours, or [[1, 2], [5, 6]]; with in3 -> out1 goes in4 -> out2"},
	{Key: "frame", Kind: Other, Of: &frameFields, Form: `{lines: "\n"}`, Required: true, Help: "how received bytes fall into messages: midi, lines, or messages that say how long they are"},
	{Key: "echo", Kind: Flag, Form: "true", Help: "whether it sends every message back before it answers"},
	{Key: "opening", Kind: RecordList, Of: &stepFields, Help: "what is sent and awaited when a link is opened, in order"},
	{Key: "wake", Kind: Record, Of: &wakeFields, Form: `{send: {bytes: "00"}, pause: 20 ms}`, Help: "what wakes it before each message"},
	{Key: "parameters", Kind: Records, Of: &parameterFields, Form: "{unit: {from: 0, to: 127, default: 16}}", Help: "what a studio can set"},
	{Key: "messages", Kind: Records, Of: &exchangeFields, Required: true, Help: "what is sent and answered, by role"},
	{Key: "presets", Kind: Other, Form: "{3: {out1: in5, out2: in6}}", Help: "what its stored presets hold, by the number on the wire; outputs that one does not name are off in it"},
	{Key: "pacing", Kind: Record, Of: &pacingFields, Form: "{gap: 0 ms, timeout: 1 s}", Help: "how fast it can be talked to"},
	{Key: "prepare", Kind: Texts, Help: "what a person must set on it first"},
	{Key: "faults", Kind: Texts, Help: "faults that are known"},
	{Key: "transcripts", Kind: RecordList, Of: &transcriptFields, Help: "conversations in bytes that are run as tests"},
}}
