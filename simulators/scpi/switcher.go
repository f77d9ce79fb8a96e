package scpi

import (
	"errors"
	"fmt"
	"strings"

	"bayhand/simulators/matrix"
)

// OutputQueue is the most bytes of one response message. A program message
// that asks for more loses its answers with error -430, "Query DEADLOCKED"
// (IEEE 488.2, 6.3.1.7).
const OutputQueue = 1 << 20

// Switcher is the simulated device. It has one owner: its methods are not safe
// for concurrent use. The matrix behind it is, and may be turned by others.
type Switcher struct {
	matrix *matrix.Matrix
	rows   Rows
	frame  framer
	errors queue
	status registers
	// answers of the program message that is being carried out, and their
	// length in bytes.
	answers []string
	length  int
	// messages counts the program messages received so far.
	messages int
}

// New makes a switcher in front of a matrix of contacts, just powered on.
func New(m *matrix.Matrix, rows Rows) (*Switcher, error) {
	if m.Kind() != matrix.Contacts {
		return nil, fmt.Errorf("a SCPI switcher in front of %s; it needs contacts", m.Kind())
	}
	if rows != RowsAreOutputs && rows != RowsAreInputs {
		return nil, fmt.Errorf("rows are %s; they are outputs or inputs", rows)
	}
	s := &Switcher{matrix: m, rows: rows}
	s.powerOn()
	return s, nil
}

func (s *Switcher) powerOn() {
	s.status = registers{event: eventPowerOn}
	s.errors.clear()
	s.Clear()
}

// Clear forgets a message that has not ended, as when a link breaks.
func (s *Switcher) Clear() { s.frame.clear() }

// Restart is what losing power does: every channel opens, and errors and
// registers are as new.
func (s *Switcher) Restart() {
	s.matrix.Restart()
	s.powerOn()
}

// Messages counts the program messages received since it was made.
func (s *Switcher) Messages() int { return s.messages }

// Identity is the answer to *IDN?.
func (s *Switcher) Identity() string {
	outputs, inputs := s.matrix.Size()
	return fmt.Sprintf("bayhand,simulated contacts %dx%d,0,0", inputs, outputs)
}

// Report is nothing: a switcher speaks only when it is asked.
func (s *Switcher) Report([]matrix.Event) [][]byte { return nil }

// Receive takes bytes as they come and gives a response message, with the line
// feed at its end, for each program message that they end and that asks for
// something. How the bytes are cut makes no difference.
func (s *Switcher) Receive(p []byte) [][]byte {
	var responses [][]byte
	for _, b := range p {
		message, complete, overrun := s.frame.add(b)
		if complete {
			s.messages++
		}
		switch {
		case !complete:
		case overrun:
			s.fail(fault{code: inputBufferOverrun})
		default:
			if response := s.execute(string(message)); response != "" {
				responses = append(responses, []byte(response))
			}
		}
	}
	return responses
}

// execute carries out one program message. What stands after a unit that can't
// be understood is not carried out: it may have lost its meaning.
func (s *Switcher) execute(message string) (response string) {
	s.answers, s.length = nil, 0
	units := scanner{text: message}
	level := tree
	for {
		u, more, err := units.next()
		if err == nil && !more {
			break
		}
		if err == nil {
			level, err = s.unit(u, level)
		}
		if err != nil && s.fail(err) {
			break
		}
	}
	if len(s.answers) == 0 {
		return ""
	}
	return strings.Join(s.answers, ";") + string(terminator)
}

// unit carries out one unit and gives the level of the tree for the next.
func (s *Switcher) unit(u unit, level *node) (*node, error) {
	c, next, err := find(u, level)
	if err != nil {
		return level, err
	}
	answer, err := c.call(s, u.data)
	if err != nil || answer == "" {
		return next, err
	}
	if s.length += len(answer) + 1; s.length > OutputQueue {
		s.answers = nil
		return next, fault{code: queryDeadlocked}
	}
	s.answers = append(s.answers, answer)
	return next, nil
}

// fail records an error and says whether it ends the message.
func (s *Switcher) fail(err error) (ends bool) {
	var f fault
	if !errors.As(err, &f) {
		f = fault{code: hardwareError, info: err.Error()}
	}
	s.status.event |= f.event()
	if s.errors.add(f) {
		s.status.event |= fault{code: queueOverflow}.event()
	}
	return f.isCommandError() || f.code == queryDeadlocked
}
