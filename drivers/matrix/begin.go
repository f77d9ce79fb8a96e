package matrix

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"bayhand/drivers/message"
	"bayhand/model/device"
)

// sendParts wakes the device where that is needed, and sends a message with its pauses.
func (m *Matrix) sendParts(ctx context.Context, role device.Role, says message.Says) (sent []byte, err error) {
	parts, err := m.codec.Parts(role, says)
	if err != nil {
		return nil, err
	}
	if len(m.device.Wake) > 0 {
		parts = append([]message.Part{{Bytes: m.device.Wake, Pause: m.device.WakePause}}, parts...)
	}
	for i, part := range parts {
		if err := m.send(ctx, part.Bytes); err != nil {
			return nil, err
		}
		if i > 0 || len(m.device.Wake) == 0 {
			sent = append(sent, part.Bytes...)
		}
		if err := m.pause(ctx, milliseconds(part.Pause)); err != nil {
			return nil, err
		}
	}
	return sent, nil
}

// begin goes through the opening of the device, once on each link. One that fails is
// begun anew by the next question.
func (m *Matrix) begin(ctx context.Context) error {
	if m.begun {
		return nil
	}
	var came []byte
	for i, step := range m.device.Opening {
		var err error
		if came, err = m.step(ctx, step, came); err != nil {
			return fmt.Errorf("step %d of its opening: %w", i+1, err)
		}
	}
	m.begun = true
	m.framer.Reset()
	return nil
}

// step sends something, or awaits something in what came and comes; what came after
// that is left.
func (m *Matrix) step(ctx context.Context, step device.Step, came []byte) (left []byte, err error) {
	if len(step.Send) > 0 {
		p, err := m.codec.Steps(step.Send)
		if err == nil {
			err = m.send(ctx, p)
		}
		if err != nil {
			return nil, err
		}
	}
	if len(step.Expect) > 0 {
		if came, err = m.expect(ctx, step, came); err != nil {
			return nil, err
		}
	}
	return came, m.restAfter(ctx, step.Pause, &came)
}

// expect waits for the bytes of a step.
func (m *Matrix) expect(ctx context.Context, step device.Step, came []byte) (left []byte, err error) {
	wait := cmp.Or(milliseconds(step.Within), m.timeout())
	over, stop := m.clock.Timer(wait)
	defer stop()
	for {
		at, no := bytes.Index(came, step.Expect), -1
		if len(step.Refused) > 0 {
			no = bytes.Index(came, step.Refused)
		}
		switch {
		case at >= 0 && (no < 0 || at < no):
			return came[at+len(step.Expect):], nil
		case no >= 0:
			return nil, fmt.Errorf("%w: it said %q", ErrRefused, m.codec.Hide(step.Refused))
		}
		select {
		case c := <-m.incoming:
			came = append(came, c.bytes...)
			if m.take(chunk{err: c.err}); m.gone != nil {
				return nil, m.gone
			}
			came = came[max(0, len(came)-mostOpening):]
		case <-over:
			return nil, fmt.Errorf("%w with %q within %v: it said %q", ErrNoAnswer, step.Expect, wait, m.codec.Hide(came))
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		case <-m.closing:
			return nil, errClosed
		}
	}
}

// mostOpening is how many bytes of an opening are kept; the expected ones are fewer.
const mostOpening = 4096

// restAfter sends nothing for a while, and keeps what comes meanwhile.
func (m *Matrix) restAfter(ctx context.Context, pause int, came *[]byte) error {
	if pause == 0 {
		return nil
	}
	over, stop := m.clock.Timer(milliseconds(pause))
	defer stop()
	for {
		select {
		case c := <-m.incoming:
			*came = append(*came, c.bytes...)
			if m.take(chunk{err: c.err}); m.gone != nil {
				return m.gone
			}
		case <-over:
			return nil
		case <-ctx.Done():
			return context.Cause(ctx)
		case <-m.closing:
			return errClosed
		}
	}
}

// reveal puts the secrets themselves in the place of where they are kept: file:PATH, of
// which the end of the last line is no part, or env:NAME.
func reveal(d *device.Description, parameters map[string]string) error {
	for _, p := range d.Parameters {
		if !p.Secret {
			continue
		}
		secret, err := revealed(parameters[p.Name])
		if err != nil {
			return fmt.Errorf("the secret %s: %w", p.Name, err)
		}
		parameters[p.Name] = secret
	}
	return nil
}

func revealed(where string) (string, error) {
	if path, ok := strings.CutPrefix(where, "file:"); ok {
		text, err := os.ReadFile(path)
		return strings.TrimRight(string(text), "\r\n"), err
	}
	if name, ok := strings.CutPrefix(where, "env:"); ok {
		text, set := os.LookupEnv(name)
		if !set {
			return "", fmt.Errorf("the environment has no %s", name)
		}
		return text, nil
	}
	return "", errors.New("write where it is kept, file:PATH or env:NAME, and not the secret itself")
}
