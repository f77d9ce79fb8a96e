package matrix

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/patch"
)

// Read asks the device for every crosspoint that is closed, sorted. It is
// ErrNoReadBack for a device that cannot be asked. An answer that names what
// the matrix does not have is an error, message.ErrValue.
//
// Where no CRC guards the answer, noise can turn one input into another,
// and nobody would see it. So the device is read until as many readings in a row
// agree as its description says, by default two, and one more after a sign of
// noise; readings that never agree are ErrNoAnswer.
func (m *Matrix) Read(ctx context.Context) ([]patch.Crosspoint, error) {
	if !m.ReadsBack() {
		return nil, fmt.Errorf("%s: read: %w", m.studio.Name, ErrNoReadBack)
	}
	var read []patch.Crosspoint
	err := m.do(ctx, "read", func(ctx context.Context) error {
		var err error
		read, err = m.readings(ctx)
		return err
	})
	if err != nil {
		return nil, err
	}
	return read, nil
}

// mostReadings bounds how often the device is read for one Read, beyond those
// that must agree.
const mostReadings = 6

// agreement is how many readings in a row must agree: one more once there was a
// sign of noise.
func (m *Matrix) agreement(role device.Role) int {
	need := m.device.Pacing.Readings
	if need == 0 {
		need = 2
		if m.codec.Guarded(role) {
			need = 1
		}
	}
	if m.doubts && need > 1 {
		need++
	}
	return need
}

// readings reads until enough readings in a row agree.
func (m *Matrix) readings(ctx context.Context) ([]patch.Crosspoint, error) {
	role := m.codec.ReadsBack()
	var last []patch.Crosspoint
	agree, rounds := 0, 0
	for ; rounds < m.agreement(role)+mostReadings; rounds++ {
		doubts := m.doubts
		m.doubts = false
		read, err := m.reading(ctx, role)
		torn := m.doubts && role != device.Read
		m.doubts = m.doubts || doubts
		if err != nil {
			return nil, err
		}
		if torn {
			// Between two of its answers something happened, perhaps to the device
			// as well: they may be of different times.
			agree = 0
			continue
		}
		if agree > 0 && !slices.Equal(read, last) {
			agree, m.doubts = 0, true
		}
		last = read
		if agree++; agree >= m.agreement(role) {
			m.doubts = false
			return read, nil
		}
	}
	return nil, fmt.Errorf("%w the same twice: of %d readings too few in a row agree", ErrNoAnswer, rounds)
}

// reading reads the whole device once.
func (m *Matrix) reading(ctx context.Context, role device.Role) ([]patch.Crosspoint, error) {
	if role == device.Read {
		says, err := m.ask(ctx, role, nil)
		if err != nil {
			return nil, err
		}
		return m.points(says.Crosspoints)
	}
	var all []message.Crosspoint
	for output := 1; output <= m.studio.Outputs; output++ {
		says, err := m.askAbout(ctx, role, output)
		if err != nil {
			return nil, fmt.Errorf("output %d: %w", output, err)
		}
		all = append(all, says.Crosspoints...)
	}
	return m.points(all)
}

// askAbout asks about one output. Where the answer does not name the output, an
// answer too many would shift all that follow by one, so the line is brought in
// step before each question.
func (m *Matrix) askAbout(ctx context.Context, role device.Role, output int) (message.Says, error) {
	if !m.codec.Names(role) && !m.codec.Numbered(role) && m.marks() {
		if err := m.inStep(ctx); err != nil && !errors.Is(err, errStep) {
			return message.Says{}, err
		}
		if err := m.mark(ctx); err != nil && !errors.Is(err, ErrNoAnswer) {
			return message.Says{}, err
		}
	}
	return m.ask(ctx, role, []message.Crosspoint{{Output: output}})
}
