package matrix

import (
	"cmp"
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
	if n := p.Output.Number; n < 1 || n > m.talk.studio.Outputs || p.Output != m.talk.studio.Out(n) {
		return fmt.Errorf("%s is no output of %s, which has out1-%d", p.Output, m.talk.studio.Name, m.talk.studio.Outputs)
	}
	if n := p.Input.Number; n < 1 || n > m.talk.studio.Inputs || p.Input != m.talk.studio.In(n) {
		return fmt.Errorf("%s is no input of %s, which has in1-%d", p.Input, m.talk.studio.Name, m.talk.studio.Inputs)
	}
	if slices.Contains(m.talk.studio.Missing, studio.Absent{Output: p.Output, Input: p.Input}) {
		return fmt.Errorf("%s has no crosspoint of %s and %s", m.talk.studio.Name, p.Output, p.Input)
	}
	return nil
}

// points are what a device answered as crosspoints of the studio. One that the
// matrix is said not to have is an error: somebody is wrong about the matrix.
func (m *Matrix) points(says message.Says) (reading, error) {
	r := reading{unclear: slices.Clone(says.Unclear)}
	for _, c := range says.Crosspoints {
		if c.Input == 0 {
			continue
		}
		p := patch.Crosspoint{Output: m.talk.studio.Out(c.Output), Input: m.talk.studio.In(c.Input)}
		if err := m.has(p); err != nil {
			return reading{}, fmt.Errorf("%w: the device says that %s is fed by %s, but %w", message.ErrValue, p.Output, p.Input, err)
		}
		r.closed = append(r.closed, p)
	}
	slices.SortFunc(r.closed, patch.Crosspoint.Compare)
	r.closed = slices.Compact(r.closed)
	slices.SortFunc(r.unclear, func(a, b message.Unclear) int {
		return cmp.Or(cmp.Compare(a.Output, b.Output), cmp.Compare(a.Said, b.Said))
	})
	r.unclear = slices.Compact(r.unclear)
	return r, nil
}
