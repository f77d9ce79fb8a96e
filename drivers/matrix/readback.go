package matrix

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// Read asks the device for every crosspoint that is closed, sorted. It is
// ErrNoReadBack for a device that cannot be asked. An answer that is of another size
// than the matrix is an error, message.ErrValue. Where the device said of some outputs
// what is no input, the error is *UnclearError, and what was read of the others comes
// with it.
//
// Where no CRC guards the answer, noise can turn one input into another,
// and nobody would see it. So the device is read until as many readings in a row
// agree as its description says, by default two, and one more after a sign of
// noise; readings that never agree are ErrNoAnswer.
func (m *Matrix) Read(ctx context.Context) ([]patch.Crosspoint, error) {
	if !m.ReadsBack() {
		return nil, fmt.Errorf("%s: read: %w", m.talk.studio.Name, ErrNoReadBack)
	}
	var read reading
	err := m.talk.do(ctx, "read", func(ctx context.Context) error {
		var err error
		read, err = m.readings(ctx)
		m.wasRead(read, err)
		return err
	})
	if err != nil {
		return nil, err
	}
	return read.closed, m.unclear(read)
}

// reading is what the device said of itself: which crosspoints are closed, sorted, and
// outputs of which it said what is no input, sorted by output.
type reading struct {
	closed  []patch.Crosspoint
	unclear []message.Unclear
}

func (r reading) equal(s reading) bool {
	return slices.Equal(r.closed, s.closed) && slices.Equal(r.unclear, s.unclear)
}

// UnclearError is a device that answered, and said of some outputs what is no input
// of the matrix, such as two inputs at once. Nobody knows what those listen to; they
// can be switched and opened as any other.
type UnclearError struct {
	Outputs []name.Point
	// Said is what the device said of each.
	Said []string
}

func (e *UnclearError) Error() string {
	var list []string
	for i, output := range e.Outputs {
		list = append(list, fmt.Sprintf("%s is unknown, the device says of it %q", output.Port(), e.Said[i]))
	}
	return strings.Join(list, "; ")
}

// Unclear are the outputs that are not known.
func (e *UnclearError) Unclear() []name.Point { return e.Outputs }

// unclear is the error for what could not be understood; nil where all could.
func (m *Matrix) unclear(r reading) error {
	if len(r.unclear) == 0 {
		return nil
	}
	e := &UnclearError{}
	for _, u := range r.unclear {
		e.Outputs, e.Said = append(e.Outputs, m.talk.studio.Out(u.Output)), append(e.Said, u.Said)
	}
	return e
}

// mostReadings bounds how often the device is read for one Read, beyond those
// that must agree.
const mostReadings = 6

// agreement is how many readings in a row must agree: one more once there was a
// sign of noise.
func (m *Matrix) agreement(role device.Role) int {
	need := m.talk.device.Pacing.Readings
	if need == 0 {
		need = 2
		if m.talk.codec.Guarded(role) {
			need = 1
		}
	}
	if m.talk.doubts && need > 1 {
		need++
	}
	return need
}

// readings reads until enough readings in a row agree.
func (m *Matrix) readings(ctx context.Context) (reading, error) {
	role := m.talk.codec.ReadsBack()
	var last reading
	var odd []byte
	agree, rounds := 0, 0
	for ; rounds < m.agreement(role)+mostReadings; rounds++ {
		read, void, err := m.readingAlone(ctx, role)
		if err != nil {
			return reading{}, err
		}
		if odd = m.talk.odd; void {
			agree = 0
			continue
		}
		if agree > 0 && !read.equal(last) {
			agree, m.talk.doubts = 0, true
		}
		last = read
		if agree++; agree >= m.agreement(role) {
			m.talk.doubts = false
			return read, nil
		}
	}
	if odd != nil {
		return reading{}, fmt.Errorf("%w that is certain: beside its answer it said %s, which its description does not explain", ErrNoAnswer, m.talk.codec.Show(odd))
	}
	return reading{}, fmt.Errorf("%w the same twice: of %d readings too few in a row agree", ErrNoAnswer, rounds)
}

// readingAlone reads the whole device once. The reading is void where a message that
// nothing explains stood beside an answer without a number of its own, since that may have been the answer; and
// where something went wrong between two answers of one reading, since those may
// be of different times.
func (m *Matrix) readingAlone(ctx context.Context, role device.Role) (read reading, void bool, err error) {
	doubts := m.talk.doubts
	m.talk.doubts, m.talk.odd = false, nil
	read, err = m.reading(ctx, role)
	void = m.talk.odd != nil && !m.talk.codec.Numbered(role) || m.talk.doubts && role != device.Read
	m.talk.doubts = m.talk.doubts || doubts
	return read, void, err
}

// reading reads the whole device once.
func (m *Matrix) reading(ctx context.Context, role device.Role) (reading, error) {
	if role == device.Read {
		says, err := m.talk.ask(ctx, role, nil)
		if err == nil {
			err = m.complete(says)
		}
		if err != nil {
			return reading{}, err
		}
		return m.points(says)
	}
	var all message.Says
	gangs := m.talk.codec.AsksGangs(role)
	for output := 1; output <= m.talk.studio.Outputs; output++ {
		if _, place := m.talk.codec.Gang(output); gangs && place > 0 {
			continue // it was answered with the first of its gang
		}
		says, err := m.askAbout(ctx, role, output)
		if err != nil {
			return reading{}, fmt.Errorf("output %d: %w", output, err)
		}
		all.Crosspoints = append(all.Crosspoints, says.Crosspoints...)
		all.Unclear = append(all.Unclear, says.Unclear...)
	}
	return m.points(all)
}

// complete sees to it that an answer which comes output by output, each in a message
// of its own, has every output: one that was lost on the way is not off.
func (m *Matrix) complete(says message.Says) error {
	e, _ := m.talk.device.Exchange(device.Read)
	if len(e.End) == 0 || m.talk.device.Switching != device.ByOutput || message.Repeats(e.Answer) {
		return nil
	}
	named := map[int]bool{}
	for _, c := range says.Crosspoints {
		named[c.Output] = true
	}
	for _, u := range says.Unclear {
		named[u.Output] = true
	}
	for output := 1; output <= m.talk.studio.Outputs; output++ {
		if !named[output] {
			return fmt.Errorf("%w for output %d: its answer ended and had %d of %d outputs", ErrNoAnswer, output, len(named), m.talk.studio.Outputs)
		}
	}
	return nil
}

// askAbout asks about one output. Where the answer does not name the output, an
// answer too many would shift all that follow by one, so the line is brought in
// step before each question.
func (m *Matrix) askAbout(ctx context.Context, role device.Role, output int) (message.Says, error) {
	if !m.talk.codec.Names(role) && !m.talk.codec.Numbered(role) && m.talk.marks() {
		if err := m.talk.inStep(ctx); err != nil && !errors.Is(err, errStep) {
			return message.Says{}, err
		}
		if err := m.talk.mark(ctx); err != nil && !errors.Is(err, ErrNoAnswer) {
			return message.Says{}, err
		}
	}
	return m.talk.ask(ctx, role, []message.Crosspoint{{Output: output}})
}
