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
// Where no checksum guards the answer, noise can turn one input into another,
// and nobody would see it. So the device is read until as many readings in a row
// agree as its description says, by default two; readings that never agree are
// ErrNoAnswer.
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

// readsBy is the question that reads the device back; RoleUnknown for none.
func (m *Matrix) readsBy() device.Role {
	for _, role := range []device.Role{device.Read, device.ReadRow, device.ReadOutput} {
		if e, ok := m.device.Exchange(role); ok && len(e.Answer) > 0 {
			return role
		}
	}
	return device.RoleUnknown
}

// mostReadings bounds how often the device is read for one Read, beyond those
// that must agree.
const mostReadings = 6

// readings reads until enough readings in a row agree.
func (m *Matrix) readings(ctx context.Context) ([]patch.Crosspoint, error) {
	role := m.readsBy()
	need := m.device.Pacing.Readings
	if need == 0 {
		need = 2
		if m.codec.Guarded(role) {
			need = 1
		}
	}
	var last []patch.Crosspoint
	for agree, round := 0, 0; round < need+mostReadings; round++ {
		read, err := m.reading(ctx, role)
		if err != nil {
			return nil, err
		}
		if round > 0 && !slices.Equal(read, last) {
			agree = 0
		}
		last = read
		if agree++; agree == need {
			return read, nil
		}
	}
	return nil, fmt.Errorf("%w the same twice: no %d of %d readings in a row agree", ErrNoAnswer, need, need+mostReadings)
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
