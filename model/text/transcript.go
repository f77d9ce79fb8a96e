package text

import (
	"slices"
	"strings"
	"unicode/utf8"

	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/phrase"
)

func (d *deviceReader) transcript(n *node) {
	v := d.fields(n, transcriptFields)
	t := device.Transcript{Title: v.text("title"), Source: v.text("source"), Inputs: d.device.Inputs, Outputs: d.device.Outputs}
	t.Parameters = d.parameterValues(v.of["parameters"])
	if size := v.of["size"]; size != nil {
		t.Inputs, t.Outputs, _ = d.dimensions(size)
	} else if t.Inputs == 0 && n.shape == mapping {
		d.report(d.placeOf(n), "missing", "write size: 16x16", "a transcript of a device whose size is given needs the key size")
	}
	for _, item := range v.list("turns") {
		if !d.isText(item) {
			continue
		}
		if turn, ok := d.turn(item, t); ok {
			t.Turns = append(t.Turns, turn)
		}
	}
	d.device.Transcripts = append(d.device.Transcripts, t)
}

// turn reads one message: > close out1 in2: ROUT:CLOS (@1!2)\n. Before the
// colon stand the direction, the role and what the bytes mean.
func (d *deviceReader) turn(n *node, t device.Transcript) (device.Turn, bool) {
	head, body, found := strings.Cut(n.text, ": ")
	if !found || len(head) < 2 || head[0] != '>' && head[0] != '<' {
		d.fault(n, "turn", `write '> close out1 in2: bytes', or < for what comes back`, "%s is no turn of a transcript", quoteText(n.text))
		return device.Turn{}, false
	}
	words := strings.Fields(head[1:])
	turn := device.Turn{Sent: head[0] == '>'}
	if len(words) == 0 {
		d.fault(n, "turn", "write '> close out1 in2: bytes'", "%s does not say which message it is", quoteText(n.text))
		return turn, false
	}
	if !d.turnRole(n, &turn, words[0]) {
		return turn, false
	}
	words = words[1:]
	if !turn.Sent {
		turn.Means = answerKey
		if len(words) > 0 && slices.Contains(answerKeys, words[0]) {
			turn.Means, words = words[0], words[1:]
		}
		if e, _ := d.device.Exchange(turn.Role); len(*answersOf(&e)[turn.Means]) == 0 {
			d.faultIn(n, 0, "turn", phrase.Put("write < {role} and which of its answers it is: {answers}", "role", turn.Role.String(), "answers", oneOf(keysOf(e))), "the message %s has no %s", turn.Role, turn.Means)
			return turn, false
		}
	}
	var ok bool
	if turn.Says, ok = d.says(n, head, words, t); !ok {
		return turn, false
	}
	turn.Bytes = d.turnBytes(n, body, utf8.RuneCountInString(head)+2)
	return turn, turn.Bytes != nil
}

// answerKey is what a received turn is that does not say which of the answers it is.
const answerKey = "answer"

// answerKeys are the answers that a turn can name, in the order of the manual.
var answerKeys = []string{answerKey, "end", "refusal", "busy", "wait", "cancelled"}

// keysOf are the answers that an exchange has.
func keysOf(e device.Exchange) []string {
	var keys []string
	of := answersOf(&e)
	for _, key := range answerKeys {
		if len(*of[key]) > 0 {
			keys = append(keys, key)
		}
	}
	return keys
}

func (d *deviceReader) turnRole(n *node, turn *device.Turn, word string) bool {
	turn.Role = device.RoleNamed(word)
	at := utf8.RuneCountInString(n.text[:strings.Index(n.text, word)])
	switch {
	case turn.Role == device.RoleUnknown:
		d.faultIn(n, at, "word", maybe(word, roleWords), "%s is no message; legal are %s", quoteText(word), oneOf(roleWords))
		return false
	case d.exchanges[turn.Role] == nil:
		d.faultIn(n, at, "turn", "", "the device has no message %s", word)
		return false
	}
	e, _ := d.device.Exchange(turn.Role)
	switch {
	case turn.Sent && turn.Role == device.Report:
		d.faultIn(n, 0, "turn", "write <", "a report comes from the device")
		return false
	case !turn.Sent && len(keysOf(e)) == 0:
		d.faultIn(n, 0, "turn", "", "the message %s has no answer", word)
		return false
	}
	return true
}

// says reads what the bytes mean: outputs, each with its input, or alone for
// off.
func (d *deviceReader) says(n *node, head string, words []string, t device.Transcript) ([][2]int, bool) {
	var says [][2]int
	for at := 0; at < len(words); at++ {
		word := strings.TrimSuffix(words[at], ",")
		p, err := name.Parse("m/" + word)
		offset := utf8.RuneCountInString(head[:strings.Index(head, word)])
		switch {
		case err == nil && p.Stem == "out" && p.Number > 0 && p.Number <= max(t.Outputs, 1):
			says = append(says, [2]int{p.Number, 0})
		case err == nil && p.Stem == "in" && p.Number > 0 && p.Number <= max(t.Inputs, 1) && len(says) > 0 && says[len(says)-1][1] == 0 && !strings.HasSuffix(words[at-1], ","):
			says[len(says)-1][1] = p.Number
		case err == nil && (p.Stem == "out" || p.Stem == "in") && p.Number > 0:
			d.faultIn(n, offset, "turn", "write out1 in2, out3 in4", "%s does not stand here, or the matrix of %dx%d has no such number", word, t.Inputs, t.Outputs)
			return nil, false
		default:
			d.faultIn(n, offset, "turn", "write out1 in2, out3 in4", "%s is no output or input", quoteText(word))
			return nil, false
		}
	}
	return says, true
}

const hexWord = "hex "

// turnBytes are the bytes of a turn: hexadecimal for MIDI and after the word
// hex, else text in which \n, \r, \t, \\ and \x1B stand for one byte each.
func (d *deviceReader) turnBytes(n *node, text string, at int) []byte {
	if rest, ok := strings.CutPrefix(text, hexWord); ok {
		return d.hexBytes(n, rest, at+len(hexWord))
	}
	if d.device.Frame.Kind == device.MIDIMessages {
		return d.hexBytes(n, text, at)
	}
	if !d.isASCII(n, at, text) {
		return nil
	}
	bytes, bad := unescape(text)
	if bad >= 0 {
		d.faultIn(n, at+utf8.RuneCountInString(text[:bad]), "bytes", `write \n, \r, \t, \\ or \x and two hexadecimal digits`, "the backslash here stands for no byte")
		return nil
	}
	return bytes
}

// unescape gives the bytes of a text with backslash codes; bad is the offset of
// a code that is none, else -1.
func unescape(text string) (bytes []byte, bad int) {
	bytes = []byte{}
	for i := 0; i < len(text); i++ {
		if text[i] != '\\' {
			bytes = append(bytes, text[i])
			continue
		}
		rest := text[i+1:]
		switch {
		case strings.HasPrefix(rest, "n"):
			bytes = append(bytes, '\n')
		case strings.HasPrefix(rest, "r"):
			bytes = append(bytes, '\r')
		case strings.HasPrefix(rest, "t"):
			bytes = append(bytes, '\t')
		case strings.HasPrefix(rest, `\`):
			bytes = append(bytes, '\\')
		case len(rest) >= 3 && rest[0] == 'x' && isHex(rest[1]) && isHex(rest[2]):
			bytes = append(bytes, hexValue(rest[1])<<4|hexValue(rest[2]))
			i += 2
		default:
			return nil, i
		}
		i++
	}
	return bytes, -1
}

func isHex(b byte) bool { return strings.IndexByte("0123456789abcdefABCDEF", b) >= 0 }

func hexValue(b byte) byte {
	switch {
	case b >= 'a':
		return b - 'a' + 10
	case b >= 'A':
		return b - 'A' + 10
	}
	return b - '0'
}
