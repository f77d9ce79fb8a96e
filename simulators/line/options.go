package line

import (
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"time"

	"bayhand/model/device"
	"bayhand/simulators/answer"
	"bayhand/simulators/matrix"
	"bayhand/simulators/scpi"
)

// Options say what device to be, and where.
type Options struct {
	Description *device.Description
	// Inputs and Outputs are the size; 0 takes the description's own.
	Inputs, Outputs int
	// Listen is a link in words: pty:PATH, rawmidi:PATH, tcp:HOST:PORT or
	// rfc2217:HOST:PORT.
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
	m, err := matrix.New(kind, outputs, inputs, o.Faults)
	if err != nil {
		return nil, err
	}
	gangs, err := gangsOf(d, outputs)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	m.Gang(gangs...)
	return m, nil
}

// gangsOf are the outputs that a device of that many moves together.
func gangsOf(d *device.Description, outputs int) ([][]matrix.Output, error) {
	if of := d.Gangs.Of; of > 0 && outputs%of != 0 {
		return nil, fmt.Errorf("%d outputs are no whole number of gangs of %d", outputs, of)
	}
	var gangs [][]matrix.Output
	for first := 1; d.Gangs.Of > 0 && first <= outputs; first += d.Gangs.Of {
		var gang []matrix.Output
		for o := first; o < first+d.Gangs.Of; o++ {
			gang = append(gang, matrix.Output(o))
		}
		gangs = append(gangs, gang)
	}
	for _, list := range d.Gangs.Lists {
		var gang []matrix.Output
		for _, o := range list {
			if o > outputs {
				return nil, fmt.Errorf("output %d moves with others, and there are %d", o, outputs)
			}
			gang = append(gang, matrix.Output(o))
		}
		gangs = append(gangs, gang)
	}
	return gangs, nil
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
	if followsSCPI(o.Description) {
		return scpi.New(m, rows(o))
	}
	p, err := answer.New(m, o.Description, o.Parameters)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.Description.Name, err)
	}
	return p, nil
}

// followsSCPI says whether the device is played from the standard's rules and
// not from its description: a switcher of SCPI-1999 closes and opens single
// crosspoints.
func followsSCPI(d *device.Description) bool {
	return strings.HasPrefix(d.Standard, "SCPI-1999") && d.Switching == device.ByCrosspoint
}

// rows is what the parameter rows says, given or by default; outputs for a
// description without one.
func rows(o Options) scpi.Rows {
	const parameter = "rows"
	if word, ok := o.Parameters[parameter]; ok {
		return scpi.RowsNamed(word)
	}
	for _, p := range o.Description.Parameters {
		if p.Name == parameter {
			return scpi.RowsNamed(p.Default)
		}
	}
	return scpi.RowsAreOutputs
}
