package message

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"bayhand/model/device"
)

// sampleText stands for the texts of an answer that is written as a sample.
const sampleText = "any text"

// samples are messages of the fields as the device may send them, about the first
// and about the last crosspoint.
func (c checker) samples(fields []device.Field) [][]byte {
	var all [][]byte
	for _, x := range []Crosspoint{{1, 1}, {c.outputs, c.inputs}} {
		p, err := c.sample(fields, []Crosspoint{c.example(x)})
		if err == nil && (len(all) == 0 || !bytes.Equal(p, all[0])) {
			all = append(all, p)
		}
	}
	return all
}

// Alike says whether an answer to one question may be taken for one to the other,
// asked about an output, by samples of both. One that says what cannot be is not
// taken.
func (c *Codec) Alike(one, other device.Role) bool {
	taken := func(from, as device.Role) bool {
		e, _ := c.description.Exchange(from)
		return slices.ContainsFunc(checker{c}.samples(e.Answer), func(p []byte) bool {
			_, err := c.AnswerAbout(as, 1, p)
			return err == nil
		})
	}
	return taken(one, other) || taken(other, one)
}

// sample writes the fields as the device would.
func (c checker) sample(fields []device.Field, about []Crosspoint) ([]byte, error) {
	w := writer{codec: c.Codec, says: Says{Crosspoints: about, Packet: 1, Code: 1, Text: sampleText, Identity: sampleText}, answers: true}
	return w.message(fields)
}

// answerable sees to it that each answer can arrive: the frame cuts it out of the
// stream whole, and the reader understands it. Nobody waits for what can never come.
func (c checker) answerable(e device.Exchange) error {
	for _, f := range formsOf(e) {
		p, err := c.sample(f.fields, []Crosspoint{{1, 1}})
		if err != nil {
			continue // the size of the matrix decides, and fits says so
		}
		cut, err := c.Framer().Feed(stuffed(c.description.Frame, bytes.Clone(p)))
		switch {
		case err != nil:
			return fmt.Errorf("%s: %w", f.meaning, err)
		case len(cut) == 0:
			return fmt.Errorf("%s: %s never ends as the frame says messages end, so it cannot arrive", f.meaning, c.Show(p))
		case len(cut) > 1 || !bytes.Equal(cut[0], p):
			return fmt.Errorf("%s: the frame cuts %s into %s, and the rest is another message", f.meaning, c.Show(p), c.Show(cut[0]))
		}
		if _, err := c.read(question{role: e.Role}, f.fields, p); errors.Is(err, ErrOther) {
			return fmt.Errorf("%s: what it would be, %s, cannot be read: %w", f.meaning, c.Show(p), err)
		}
		if err := c.notEmpty(e, f); err != nil {
			return err
		}
	}
	return nil
}

// notEmpty refuses an answer that a message without anything visible in it satisfies:
// many devices send empty lines, and one would be taken for "nothing is closed". An
// answer whose end is another message may be empty.
func (c checker) notEmpty(e device.Exchange, f form) error {
	if f.meaning != Answer || len(e.End) > 0 || c.description.Frame.Kind != device.Lines {
		return nil
	}
	p, err := c.sample(f.fields, nil)
	if err != nil || len(bytes.TrimSpace(p)) > 0 {
		return nil
	}
	return fmt.Errorf("answer: an empty line would be taken for it, and many devices send empty lines; say what stands there where there is none, {each: changes, none: \"NONE\", of: [...]}, or which message ends it, end: [\"OK\\n\"]")
}
