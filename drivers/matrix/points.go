package matrix

import (
	"fmt"
	"slices"

	"bayhand/drivers/message"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// numbers are the crosspoints in the device's numbers, sorted, each once.
func (m *Matrix) numbers(points []patch.Crosspoint) ([]message.Crosspoint, error) {
	var numbers []message.Crosspoint
	for _, p := range points {
		if err := m.has(p); err != nil {
			return nil, err
		}
		numbers = append(numbers, message.Crosspoint{Output: p.Output.Number, Input: p.Input.Number})
	}
	slices.SortFunc(numbers, message.Crosspoint.Compare)
	return slices.Compact(numbers), nil
}

// has says whether the matrix has the crosspoint.
func (m *Matrix) has(p patch.Crosspoint) error {
	if n := p.Output.Number; n < 1 || n > m.studio.Outputs || p.Output != m.studio.Out(n) {
		return fmt.Errorf("%s is no output of %s, which has out1-%d", p.Output, m.studio.Name, m.studio.Outputs)
	}
	if n := p.Input.Number; n < 1 || n > m.studio.Inputs || p.Input != m.studio.In(n) {
		return fmt.Errorf("%s is no input of %s, which has in1-%d", p.Input, m.studio.Name, m.studio.Inputs)
	}
	if slices.Contains(m.studio.Missing, studio.Absent{Output: p.Output, Input: p.Input}) {
		return fmt.Errorf("%s has no crosspoint of %s and %s", m.studio.Name, p.Output, p.Input)
	}
	return nil
}

// points are what a device answered as crosspoints of the studio. One that the
// matrix is said not to have is an error: somebody is wrong about the matrix.
func (m *Matrix) points(numbers []message.Crosspoint) ([]patch.Crosspoint, error) {
	var points []patch.Crosspoint
	for _, c := range numbers {
		if c.Input == 0 {
			continue
		}
		p := patch.Crosspoint{Output: m.studio.Out(c.Output), Input: m.studio.In(c.Input)}
		if err := m.has(p); err != nil {
			return nil, fmt.Errorf("%w: the device says that %s listens to %s, but %w", message.ErrValue, p.Output, p.Input, err)
		}
		points = append(points, p)
	}
	slices.SortFunc(points, patch.Crosspoint.Compare)
	return slices.Compact(points), nil
}
