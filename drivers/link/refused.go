package link

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"syscall"
	"unicode"
)

// mostWords is how many bytes of text are kept of what a server says before its line is
// agreed on.
const mostWords = 200

// explained is why nothing could be agreed on with a server. One that lets in a single
// client says so in words of its own and ends the connection, at which the system knows
// of a broken pipe only: the words are what a person needs.
func (c *comPort) explained(err error) error {
	if !isEnded(err) {
		return err
	}
	for c.receive() == nil {
		// what it said before it ended the connection is still there
	}
	words := printable(c.words)
	if words == "" {
		return fmt.Errorf("the server ends the connection at once; it may let in one client only, and have one: %w", err)
	}
	return fmt.Errorf("the server says %q and ends the connection: %w", words, err)
}

// isEnded says whether the far end ended the connection.
func isEnded(err error) bool {
	return errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, os.ErrClosed) ||
		errors.Is(err, syscall.EPIPE) || errors.Is(err, syscall.ECONNRESET) || errors.Is(err, syscall.ECONNABORTED)
}

// printable is text on one line.
func printable(text []byte) string {
	line := strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(string(text), " "))
	return strings.Join(strings.Fields(line), " ")
}
