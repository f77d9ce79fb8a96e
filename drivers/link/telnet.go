package link

// Telnet commands (RFC 854) and the options that are spoken of here: binary
// transmission (RFC 856), suppress go ahead (RFC 858), com port control
// (RFC 2217).
const (
	telnetSE   = 240
	telnetSB   = 250
	telnetWILL = 251
	telnetWONT = 252
	telnetDO   = 253
	telnetDONT = 254
	telnetIAC  = 255

	optionBinary  = 0
	optionGoAhead = 3
	optionComPort = 44
)

// maxSub bounds a subnegotiation; the longest of RFC 2217 but its signature text
// has four bytes.
const maxSub = 1024

// telnetCommand is a command that stood in the stream: a verb and an option, or
// a subnegotiation with its bytes after the option.
type telnetCommand struct {
	verb, option byte
	sub          []byte
}

// telnetStream takes the commands out of a stream.
type telnetStream struct {
	// expects is what the next byte is.
	expects expects
	command telnetCommand
}

type expects uint8

const (
	expectsData expects = iota
	expectsVerb
	expectsOption
	expectsSubOption
	expectsSub
	expectsSubVerb
)

// take takes bytes as they come, and gives the data among them and the commands
// that they end.
func (t *telnetStream) take(p []byte) (data []byte, commands []telnetCommand) {
	for _, b := range p {
		switch t.expects {
		case expectsData:
			if b != telnetIAC {
				data = append(data, b)
				continue
			}
			t.expects = expectsVerb
		case expectsVerb:
			if b == telnetIAC {
				data = append(data, b)
			}
			t.verb(b)
		case expectsOption:
			t.command.option = b
			commands = append(commands, t.command)
			t.expects = expectsData
		case expectsSubOption:
			t.command.option = b
			t.expects = expectsSub
		case expectsSub, expectsSubVerb:
			if t.sub(b) {
				commands = append(commands, t.command)
			}
		}
	}
	return data, commands
}

func (t *telnetStream) verb(b byte) {
	t.command = telnetCommand{verb: b}
	switch b {
	case telnetWILL, telnetWONT, telnetDO, telnetDONT:
		t.expects = expectsOption
	case telnetSB:
		t.expects = expectsSubOption
	default: // such as no operation: it has one byte
		t.expects = expectsData
	}
}

// sub takes a byte of a subnegotiation, and says whether it ended it.
func (t *telnetStream) sub(b byte) (ended bool) {
	switch {
	case t.expects == expectsSub && b == telnetIAC:
		t.expects = expectsSubVerb
		return false
	case t.expects == expectsSubVerb && b == telnetSE:
		t.expects = expectsData
		return true
	}
	t.expects = expectsSub
	if len(t.command.sub) < maxSub {
		t.command.sub = append(t.command.sub, b)
	}
	return false
}

// telnetData writes data so that none of it is taken for a command.
func telnetData(p []byte) []byte {
	out := make([]byte, 0, len(p)+8)
	for _, b := range p {
		if b == telnetIAC {
			out = append(out, telnetIAC)
		}
		out = append(out, b)
	}
	return out
}

// subnegotiation writes one for com port control.
func subnegotiation(code byte, value ...byte) []byte {
	out := []byte{telnetIAC, telnetSB, optionComPort, code}
	out = append(out, telnetData(value)...)
	return append(out, telnetIAC, telnetSE)
}
