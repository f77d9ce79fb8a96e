package line

import (
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"time"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
	"bayhand/simulators/scpi"
)

// Options say what device to be, and where.
type Options struct {
	Description *device.Description
	// Inputs and Outputs are the size; 0 takes the description's own.
	Inputs, Outputs int
	// Listen is a link in words: pty:PATH, rawmidi:PATH or tcp:HOST:PORT.
	Listen string
	// Parameters of the description; those left out take their defaults.
	Parameters map[string]string
	Faults     matrix.Faults
	// Log may be nil.
	Log *slog.Logger

	// Matrix is the state behind the device, for those who want to see it or to
	// turn it by hand; NewMatrix makes it. Serve makes its own where it is nil.
	Matrix *matrix.Matrix
	// Traffic, if not nil, is told of what passes on the line, from the
	// goroutine that serves it.
	Traffic func(Traffic)
	// After is the clock; nil is time.After.
	After func(time.Duration) <-chan time.Time
}

// Traffic is some bytes that passed on the line.
type Traffic struct {
	// Received is true for bytes to the device.
	Received bool
	Bytes    []byte
}

// NewMatrix makes the matrix that the options ask for, every crosspoint open.
func NewMatrix(o Options) (*matrix.Matrix, error) {
	d := o.Description
	if d == nil {
		return nil, errors.New("no device description was given")
	}
	outputs, err := size("outputs", o.Outputs, d.Outputs, d.MaxOutputs)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	inputs, err := size("inputs", o.Inputs, d.Inputs, d.MaxInputs)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	kind := matrix.Selectors
	if d.Switching == device.ByCrosspoint {
		kind = matrix.Contacts
	}
	return matrix.New(kind, outputs, inputs, o.Faults)
}

// size settles the number of outputs or inputs from what was asked for, what
// the description fixes, and the most that it allows; 0 is not said.
func size(side string, asked, fixed, most int) (int, error) {
	switch {
	case fixed > 0 && asked != 0 && asked != fixed:
		return 0, fmt.Errorf("%d %s were asked for; it always has %d", asked, side, fixed)
	case fixed > 0:
		return fixed, nil
	case asked == 0:
		return 0, fmt.Errorf("its number of %s is missing; give a size such as 16x16, inputs first", side)
	case most > 0 && asked > most:
		return 0, fmt.Errorf("%d %s were asked for; it has at most %d", asked, side, most)
	}
	return asked, nil
}

// newPlayer puts a device in front of the matrix.
func newPlayer(o Options, m *matrix.Matrix) (player, error) {
	if err := checkParameters(o.Description, o.Parameters); err != nil {
		return nil, fmt.Errorf("%s: %w", o.Description.Name, err)
	}
	if strings.HasPrefix(o.Description.Standard, "SCPI-1999") {
		rows := scpi.RowsAreOutputs
		if o.Parameters["rows"] == rowsInputs {
			rows = scpi.RowsAreInputs
		}
		return scpi.New(m, rows)
	}
	return nil, fmt.Errorf("%s follows %q; only SCPI-1999 can be played", o.Description.Name, o.Description.Standard)
}

// rowsInputs is the word of the parameter rows that turns a channel round.
const rowsInputs = "inputs"
