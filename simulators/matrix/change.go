package matrix

import (
	"fmt"
	"slices"
)

// Change opens and closes crosspoints, in that order, all or none of them. The
// error wraps ErrOutside or ErrRefused. In a matrix of selectors, closing a
// crosspoint opens the others of its output.
func (m *Matrix) Change(by Hand, open, closing []Crosspoint) error {
	return m.changeAlone(by, open, closing, false)
}

// changeAlone is Change; alone where the outputs move without the others of their
// gangs.
func (m *Matrix) changeAlone(by Hand, open, closing []Crosspoint, alone bool) error {
	for _, c := range slices.Concat(open, closing) {
		if !m.Has(c) {
			return fmt.Errorf("%s is %w of %d inputs and %d outputs", c, ErrOutside, m.inputs, m.outputs)
		}
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if by == Line && m.refuses() {
		return ErrRefused
	}
	if alone = alone || by == Line && m.splits(); !alone {
		open, closing = m.ganged(open), m.ganged(closing)
	}
	for _, c := range open {
		m.open(by, c)
	}
	for _, c := range closing {
		m.shut(by, c)
	}
	m.tell()
	return nil
}

// Close closes crosspoints; see Change.
func (m *Matrix) Close(by Hand, list ...Crosspoint) error { return m.Change(by, nil, list) }

// Open opens crosspoints; see Change.
func (m *Matrix) Open(by Hand, list ...Crosspoint) error { return m.Change(by, list, nil) }

// OpenAll opens every crosspoint; see Change.
func (m *Matrix) OpenAll(by Hand) error { return m.Change(by, m.State(), nil) }

// Set lets outputs listen to inputs, as a matrix of selectors does: whatever
// else an output listened to is opened. Input 0 is off. All or none of the
// changes are made.
func (m *Matrix) Set(by Hand, list ...Crosspoint) error {
	var open, closing []Crosspoint
	now, alone := m.State(), by == Line && m.splitting()
	if !alone {
		list = m.ganged(list)
	}
	for _, c := range list {
		if c.Output < 1 || int(c.Output) > m.outputs {
			return fmt.Errorf("%s is %w of %d outputs", c.Output, ErrOutside, m.outputs)
		}
		for _, d := range now {
			if d.Output == c.Output && d.Input != c.Input {
				open = append(open, d)
			}
		}
		// The last word on an output counts.
		closing = slices.DeleteFunc(closing, func(d Crosspoint) bool { return d.Output == c.Output })
		if c.Input != 0 {
			closing = append(closing, c)
		}
	}
	return m.changeAlone(by, open, closing, true)
}

// Restart is what losing power does: everything opens but what is welded.
func (m *Matrix) Restart() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.mute = false
	for _, c := range m.state() {
		m.open(Power, c)
	}
	m.tell()
}

// Mute silences all outputs, or lets them be heard again; crosspoints stay.
func (m *Matrix) Mute(silent bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.mute = silent
	m.tell()
}

// Muted says whether all outputs are silent.
func (m *Matrix) Muted() bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.mute
}

// open and shut move one crosspoint; the caller holds mu.
func (m *Matrix) open(by Hand, c Crosspoint) {
	if !m.closed[c] || slices.Contains(m.faults.Welded, c) {
		return
	}
	delete(m.closed, c)
	m.history.add(Event{Crosspoint: c, By: by})
}

func (m *Matrix) shut(by Hand, c Crosspoint) {
	if m.kind == Selectors {
		for _, d := range m.state() {
			if d.Output == c.Output && d != c {
				m.open(by, d)
			}
		}
	}
	if m.closed[c] || slices.Contains(m.faults.Stuck, c) {
		return
	}
	m.closed[c] = true
	m.history.add(Event{Crosspoint: c, Closed: true, By: by})
}

// refuses counts a change that was asked for and says whether it is one that
// the fault refuses; the caller holds mu.
func (m *Matrix) refuses() bool {
	m.asked++
	return m.faults.Refuse > 0 && m.asked%m.faults.Refuse == 0
}

// Busy counts a change that is asked for and says whether the fault has the
// device put it off.
func (m *Matrix) Busy() bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.begun++
	return m.faults.Busy > 0 && m.begun%m.faults.Busy == 0
}

// Waits counts an answer and says whether the fault has it announced.
func (m *Matrix) Waits() bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.awaited++
	return m.faults.Wait > 0 && m.awaited%m.faults.Wait == 0
}

// Mend takes away the faults that the matrix itself plays: refusals, answers that mean
// busy or wait, and gangs that are split.
func (m *Matrix) Mend() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.faults.Refuse, m.faults.Busy, m.faults.Wait, m.faults.Split = 0, 0, 0, 0
}
