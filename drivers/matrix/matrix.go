// Package matrix drives one programmable router over one link: it asks who is
// there, reads every crosspoint, opens and closes crosspoints, and hears the
// device's reports of what was turned by hand.
//
// One goroutine owns the link and does one thing after the other; another one
// only reads bytes. A question is sent, and its answer awaited; what comes
// before it is thrown away or, if it is a report, passed on. A question that can
// be asked twice without harm is asked again when no answer comes; a change of
// crosspoints never is, since nobody knows how far the first one got.
//
// After a question without an answer the line is out of step: the answer may
// still come, and must not be taken for the next one's. The line is brought in
// step again before anything else is asked, by a packet number that the answer
// has to repeat, by a question whose answer cannot be mistaken, or by silence.
//
// What Switch sends is believed only as far as the device confirmed it; what is
// known, Read says. The package decides nothing: which crosspoints are wanted,
// and when to try again, is the business of whoever holds the Matrix.
package matrix

import (
	"context"
	"errors"
	"fmt"

	"bayhand/drivers/link"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

var (
	// ErrNoAnswer is a device that did not answer, or not so that it could be
	// understood. What it did meanwhile is not known.
	ErrNoAnswer = errors.New("the device does not answer")
	// ErrRefused is a device that answered no. It may have done a part.
	ErrRefused = errors.New("the device refused")
	// ErrBusy is a device that refused because it was busy, as often as it was
	// asked. It did nothing; it is ErrRefused as well.
	ErrBusy = fmt.Errorf("%w: it is busy", ErrRefused)
	// ErrImpossible is a change that no message of the device can ask for. Nothing was
	// sent.
	ErrImpossible = errors.New("the device cannot be asked for that")
	// ErrGone is a link whose other end went away; it has to be opened anew.
	ErrGone = link.ErrGone
	// ErrNoReadBack is a device that cannot be asked for its crosspoints.
	ErrNoReadBack = errors.New("the device cannot be asked what it has switched")
)

// Matrix is a router on an open link. Its methods may be called from any
// goroutine; they are carried out one at a time.
type Matrix struct {
	talk *conversation
	// presets are what is known for recalling stored presets.
	presets presets
	// audible is true once the device has confirmed that it is not mute.
	audible bool
}

// New drives the router m of a studio, as d describes it, over an open link. It
// sends nothing. The Matrix owns the link from now on, and Close closes it; with
// an error the link is still the caller's.
func New(d *device.Description, m studio.Matrix, l link.Link, clock Clock) (*Matrix, error) {
	parameters := map[string]string{}
	if m.Device != nil {
		for _, p := range m.Device.Parameters {
			parameters[p.Name] = p.Value
		}
	}
	if err := reveal(d, parameters); err != nil {
		return nil, fmt.Errorf("%s: %w", m.Name, err)
	}
	if err := checkGangs(d, m); err != nil {
		return nil, fmt.Errorf("%s: %w", m.Name, err)
	}
	codec, err := message.New(d, m.Inputs, m.Outputs, parameters)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", m.Name, err)
	}
	driven := &Matrix{}
	driven.talk = talk(codec, d, m, l, clock, driven.forget)
	return driven, nil
}

// ReadsBack says whether Read can be asked. Where it cannot, what Switch sent
// stays a belief.
func (m *Matrix) ReadsBack() bool {
	return m.talk.codec.ReadsBack() != device.RoleUnknown
}

// Identify asks the device who it is. A device that cannot be asked gives an
// empty text and no error.
func (m *Matrix) Identify(ctx context.Context) (string, error) {
	if _, ok := m.talk.device.Exchange(device.Identify); !ok {
		return "", nil
	}
	var identity string
	err := m.talk.do(ctx, "identify", func(ctx context.Context) error {
		says, err := m.talk.ask(ctx, device.Identify, nil)
		identity = says.Identity
		return err
	})
	return identity, err
}

// Switch opens crosspoints, then closes others. All others stay as they are.
// It returns once the device has confirmed each message, as far as it can; with
// an error, a part may be done, and only Read tells which.
//
// On a device that is switched by output, closing a crosspoint of an output
// opens the one it had; for amplifiers, an output that is opened and closed in
// one Switch goes straight from one input to the other.
func (m *Matrix) Switch(ctx context.Context, open, close []patch.Crosspoint) error {
	messages, err := m.changes(open, close)
	if err != nil {
		return fmt.Errorf("%s: switch: %w: %w", m.talk.studio.Name, ErrImpossible, err)
	}
	if len(messages) == 0 {
		return m.Unmute(ctx)
	}
	return m.talk.do(ctx, "switch", func(ctx context.Context) error {
		m.aims(open, close)
		defer m.forget()
		return m.change(ctx, messages)
	})
}

// Unmute lets a device be heard that whoever held the link before may have left
// mute, as when the line was pulled in the middle of a Switch. It sends nothing to a
// device without mute, nor to one that this Matrix has let be heard already. With
// an error the device may still be mute.
func (m *Matrix) Unmute(ctx context.Context) error {
	if _, mutes := m.talk.device.Exchange(device.Mute); !mutes {
		return nil
	}
	return m.talk.do(ctx, "reopen", m.unmute)
}

// Hide is some bytes of the line without the secrets that stand in them.
func (m *Matrix) Hide(p []byte) []byte { return m.talk.codec.Hide(p) }

// Record tells to of each message that goes out, and of each answer that was
// understood, as turns of a transcript. It is for before the first question; to is
// called while the question waits.
func (m *Matrix) Record(to func(device.Turn)) { m.talk.record = to }

// Reports receives what the device says by itself. What is not taken in time is
// joined with what comes after; the channel is closed with the Matrix. A device
// without reports never sends one.
func (m *Matrix) Reports() <-chan Report { return m.talk.reports }

// Close ends what is being done, closes the link, and waits for both goroutines.
func (m *Matrix) Close() error { return m.talk.close() }
