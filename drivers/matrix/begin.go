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
func (t *conversation) sendParts(ctx context.Context, role device.Role, says message.Says) (sent []byte, err error) {
	parts, err := t.codec.Parts(role, says)
	if err != nil {
		return nil, err
	}
	if len(t.device.Wake) > 0 {
		parts = append([]message.Part{{Bytes: t.device.Wake, Pause: t.device.WakePause}}, parts...)
	}
	for i, part := range parts {
		if err := t.send(ctx, part.Bytes); err != nil {
			return nil, err
		}
		if i > 0 || len(t.device.Wake) == 0 {
			sent = append(sent, part.Bytes...)
		}
		if err := t.pause(ctx, milliseconds(part.Pause)); err != nil {
			return nil, err
		}
	}
	return sent, nil
}

// begin goes through the opening of the device, once on each link. One that fails is
// begun anew by the next question.
func (t *conversation) begin(ctx context.Context) error {
	if t.begun {
		return nil
	}
	var came []byte
	for i, step := range t.device.Opening {
		var err error
		if came, err = t.step(ctx, step, came); err != nil {
			return fmt.Errorf("step %d of its opening: %w", i+1, err)
		}
	}
	t.begun = true
	t.framer.Reset()
	return nil
}

// step sends something, or awaits something in what came and comes; what came after
// that is left.
func (t *conversation) step(ctx context.Context, step device.Step, came []byte) (left []byte, err error) {
	if len(step.Send) > 0 {
		p, err := t.codec.Steps(step.Send)
		if err == nil {
			err = t.send(ctx, p)
		}
		if err != nil {
			return nil, err
		}
	}
	if len(step.Expect) > 0 {
		if came, err = t.expect(ctx, step, came); err != nil {
			return nil, err
		}
	}
	return came, t.restAfter(ctx, step.Pause, &came)
}

// expect waits for the bytes of a step.
func (t *conversation) expect(ctx context.Context, step device.Step, came []byte) (left []byte, err error) {
	wait := cmp.Or(milliseconds(step.Within), t.timeout())
	over, stop := t.clock.Timer(wait)
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
			return nil, fmt.Errorf("%w: it said %q", ErrRefused, t.codec.Hide(step.Refused))
		}
		select {
		case c := <-t.incoming:
			came = append(came, c.bytes...)
			if t.take(chunk{err: c.err}); t.gone != nil {
				return nil, t.gone
			}
			came = came[max(0, len(came)-mostOpening):]
		case <-over:
			return nil, fmt.Errorf("%w with %q within %v: it said %q", ErrNoAnswer, step.Expect, wait, t.codec.Hide(came))
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		case <-t.closing:
			return nil, errClosed
		}
	}
}

// mostOpening is how many bytes of an opening are kept; the expected ones are fewer.
const mostOpening = 4096

// restAfter sends nothing for a while, and keeps what comes meanwhile.
func (t *conversation) restAfter(ctx context.Context, pause int, came *[]byte) error {
	if pause == 0 {
		return nil
	}
	over, stop := t.clock.Timer(milliseconds(pause))
	defer stop()
	for {
		select {
		case c := <-t.incoming:
			*came = append(*came, c.bytes...)
			if t.take(chunk{err: c.err}); t.gone != nil {
				return t.gone
			}
		case <-over:
			return nil
		case <-ctx.Done():
			return context.Cause(ctx)
		case <-t.closing:
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
