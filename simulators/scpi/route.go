package scpi

import (
	"errors"
	"fmt"
	"strconv"

	"bayhand/simulators/matrix"
)

// routeCommands is the ROUTe subsystem (SCPI-1999, vol. 2, 15). ROUTe is the
// default node of a signal switcher and may be left out (vol. 4).
var routeCommands = map[string]*command{
	"[ROUTe]:CLOSe":        channels((*Switcher).close),
	"[ROUTe]:CLOSe?":       channels(func(s *Switcher, list []matrix.Crosspoint) (string, error) { return s.each(list, true), nil }),
	"[ROUTe]:CLOSe:STATe?": query((*Switcher).closedBlock),
	"[ROUTe]:OPEN":         channels((*Switcher).open),
	"[ROUTe]:OPEN?":        channels(func(s *Switcher, list []matrix.Crosspoint) (string, error) { return s.each(list, false), nil }),
	"[ROUTe]:OPEN:ALL":     event((*Switcher).openAll),
}

// channels makes a command of one channel list.
func channels(run func(s *Switcher, list []matrix.Crosspoint) (string, error)) *command {
	return &command{least: 1, most: 1, run: func(s *Switcher, data []datum) (string, error) {
		list, err := s.channelList(data[0])
		if err != nil {
			return "", err
		}
		return run(s, list)
	}}
}

func (s *Switcher) close(list []matrix.Crosspoint) (string, error) {
	return "", moved(s.matrix.Close(matrix.Line, list...))
}

func (s *Switcher) open(list []matrix.Crosspoint) (string, error) {
	return "", moved(s.matrix.Open(matrix.Line, list...))
}

func (s *Switcher) openAll() error { return moved(s.matrix.OpenAll(matrix.Line)) }

// moved puts what the matrix says in the words of the standard.
func moved(err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, matrix.ErrOutside):
		return fault{code: dataOutOfRange}
	}
	return fault{code: hardwareError}
}

// each answers 1 for a channel that is closed, or that is open if closed is
// false, and 0 for the others, in the order of the list.
func (s *Switcher) each(list []matrix.Crosspoint, closed bool) string {
	now := map[matrix.Crosspoint]bool{}
	for _, c := range s.matrix.State() {
		now[c] = true
	}
	answer := make([]byte, 0, 2*len(list))
	for i, c := range list {
		if i > 0 {
			answer = append(answer, ',')
		}
		digit := byte('0')
		if now[c] == closed {
			digit = '1'
		}
		answer = append(answer, digit)
	}
	return string(answer)
}

// closedBlock is every closed channel as a channel list in a definite-length
// block (SCPI-1999, vol. 2, 15; IEEE 488.2, 8.7.9).
func (s *Switcher) closedBlock() string { return Block(s.rows.List(s.matrix.State())) }

// Block is data as a definite-length block, such as #13(@).
func Block(data string) string {
	length := strconv.Itoa(len(data))
	return fmt.Sprintf("#%d%s%s", len(length), length, data)
}
