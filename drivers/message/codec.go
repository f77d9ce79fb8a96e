package message

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/drivers/wire"
	"bayhand/model/device"
	"bayhand/model/phrase"
)

// MaxPacket is the highest packet number; the one after it is 0. It fits a
// data byte of MIDI.
const MaxPacket = 127

// Codec is one description made ready for one matrix. It does not change and
// may be used by many at once.
type Codec struct {
	description *device.Description
	inputs      int
	outputs     int
	// words are the parameters as text, numbers those that are numbers.
	words   map[string]string
	numbers map[string]int
	// blockAfter are the bytes after which a definite-length block may begin.
	blockAfter [][]byte
	// judged are the answers of each question, in the order in which they are tried.
	judged map[device.Role][]form
}

// New makes a codec for a matrix of that many inputs and outputs. The error
// says which parameter, size or message does not fit.
func New(d *device.Description, inputs, outputs int, parameters map[string]string) (*Codec, error) {
	c := &Codec{description: d, inputs: inputs, outputs: outputs, words: map[string]string{}, numbers: map[string]int{}}
	if err := checkSize(d, inputs, outputs); err != nil {
		return nil, err
	}
	if err := c.set(parameters); err != nil {
		return nil, err
	}
	look := checker{c}
	if err := look.check(); err != nil {
		return nil, fmt.Errorf("the device description %s: %w", d.Name, err)
	}
	if err := look.checkGangs(); err != nil {
		return nil, fmt.Errorf("%s: %w", d.Name, err)
	}
	if err := look.checkPresets(); err != nil {
		return nil, fmt.Errorf("the device description %s: %w", d.Name, err)
	}
	if err := look.fits(); err != nil {
		return nil, fmt.Errorf("a matrix of %d inputs and %d outputs: %w", inputs, outputs, err)
	}
	if err := look.told(); err != nil {
		return nil, fmt.Errorf("the device description %s: %w", d.Name, err)
	}
	return c, nil
}

// told sees to it that each answer can arrive, and can be told from the others.
func (c checker) told() error {
	for _, e := range c.description.Exchanges {
		if err := c.answerable(e); err != nil {
			return fmt.Errorf("the message %s: %w", e.Role, err)
		}
	}
	return c.order()
}

func checkSize(d *device.Description, inputs, outputs int) error {
	for _, side := range []struct {
		name              string
		has, fixed, bound int
	}{
		{"inputs", inputs, d.Inputs, d.MaxInputs},
		{"outputs", outputs, d.Outputs, d.MaxOutputs},
	} {
		switch {
		case side.has < 1:
			return fmt.Errorf("a matrix needs at least one of its %s", side.name)
		case side.fixed > 0 && side.has != side.fixed:
			return fmt.Errorf("%s has %d %s, not %d", d.Name, side.fixed, side.name, side.has)
		case side.bound > 0 && side.has > side.bound:
			return fmt.Errorf("%s has at most %d %s, not %d", d.Name, side.bound, side.name, side.has)
		}
	}
	return nil
}

func (c *Codec) set(given map[string]string) error {
	for _, p := range c.description.Parameters {
		if err := c.setOne(p, cmp.Or(given[p.Name], p.Default)); err != nil {
			return fmt.Errorf("the parameter %s of %s: %w", p.Name, c.description.Name, err)
		}
	}
	for _, name := range slices.Sorted(mapKeys(given)) {
		if _, known := c.words[name]; !known {
			return fmt.Errorf("%s has no parameter %s; %s", c.description.Name, name, c.legal())
		}
	}
	return nil
}

func mapKeys(m map[string]string) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for key := range m {
			if !yield(key) {
				return
			}
		}
	}
}

func (c *Codec) legal() string {
	if len(c.description.Parameters) == 0 {
		return "it has none"
	}
	var names []string
	for _, p := range c.description.Parameters {
		names = append(names, p.Name)
	}
	return phrase.Put("it has {names}", "names", strings.Join(names, ", "))
}

func (c *Codec) setOne(p device.Parameter, value string) error {
	c.words[p.Name] = value
	if p.Secret {
		return nil // whoever opens the link sees to it that there is one
	}
	if len(p.Choices) > 0 {
		if !slices.Contains(p.Choices, value) {
			return fmt.Errorf("%q is none of %s", value, strings.Join(p.Choices, ", "))
		}
		return nil
	}
	n, err := strconv.Atoi(value)
	if err != nil || n < p.From || n > p.To {
		return fmt.Errorf("%q is not a number from %d to %d", value, p.From, p.To)
	}
	c.numbers[p.Name] = n
	return nil
}

// rowsAreInputs says whether the first number of a channel is the input.
func (c *Codec) rowsAreInputs() bool { return c.words["rows"] == "inputs" }

// Numbered says whether the question of a role carries a packet number that
// its answer repeats, so that a late answer cannot be taken for the next one.
func (c *Codec) Numbered(role device.Role) bool {
	e, ok := c.description.Exchange(role)
	return ok && device.Carries(e.Send, "packet") && device.Carries(e.Answer, "packet")
}

// Size is how many inputs and outputs the matrix has.
func (c *Codec) Size() (inputs, outputs int) { return c.inputs, c.outputs }

// ReadsBack is the question that reads the device back; RoleUnknown for a device
// that cannot be asked.
func (c *Codec) ReadsBack() device.Role {
	for _, role := range []device.Role{device.Read, device.ReadRow, device.ReadOutput} {
		if e, ok := c.description.Exchange(role); ok && len(e.Answer) > 0 {
			return role
		}
	}
	return device.RoleUnknown
}

// Names says whether the answer of a role names the output that it is about.
func (c *Codec) Names(role device.Role) bool {
	e, ok := c.description.Exchange(role)
	return ok && device.Carries(e.Answer, "output")
}

// Guarded says whether a CRC of 16 bits or more guards the answer of a role. A
// sum or an XOR is none: it does not see two bytes that changed places.
func (c *Codec) Guarded(role device.Role) bool {
	e, ok := c.description.Exchange(role)
	return ok && guards(e.Answer)
}

const leastGuard = 16 // bits

// guards says whether such a CRC stands among the fields.
func guards(fields []device.Field) bool {
	return slices.ContainsFunc(fields, func(f device.Field) bool {
		return f.Kind == device.Checked && f.Check.Kind == device.CyclicRedundancy && f.Check.CRC.Width >= leastGuard || guards(f.Of)
	})
}

// Send writes the message of a role: which crosspoints, and the packet number, preset
// or label where it has one. Where it counts in gangs, the crosspoint of the first output
// of a gang stands for them all. The error says why it cannot be written.
func (c *Codec) Send(role device.Role, says Says) ([]byte, error) {
	parts, err := c.Parts(role, says)
	var p []byte
	for _, part := range parts {
		p = append(p, part.Bytes...)
	}
	return p, err
}

// Part is a part of a message that is sent, and how many milliseconds nothing is sent
// after it.
type Part struct {
	Bytes []byte
	Pause int
}

// Parts writes the message of a role in the parts between which it pauses.
func (c *Codec) Parts(role device.Role, says Says) ([]Part, error) {
	e, ok := c.description.Exchange(role)
	if !ok {
		return nil, fmt.Errorf("%s has no message %s", c.description.Name, role)
	}
	w := writer{codec: c, says: says}
	plain, err := w.message(e.Send)
	whole := plain
	if err == nil {
		whole = stuffed(c.description.Frame, plain)
		err = c.framed(whole)
	}
	if err != nil {
		return nil, fmt.Errorf("the message %s of %s: %w", role, c.description.Name, err)
	}
	var parts []Part
	from := 0
	for _, r := range w.pauses {
		to := stuffedTo(c.description.Frame, plain, r.after)
		parts = append(parts, Part{whole[from:to], r.milliseconds})
		from = to
	}
	return append(parts, Part{Bytes: whole[from:]}), nil
}

// Steps writes what a step of the opening sends.
func (c *Codec) Steps(fields []device.Field) ([]byte, error) {
	w := writer{codec: c}
	return w.message(fields)
}

// framed says what keeps bytes from being a message of the frame.
func (c *Codec) framed(p []byte) error {
	switch frame := c.description.Frame; {
	case frame.Kind == device.MIDIMessages && !wire.Whole(p):
		return fmt.Errorf("% X are no MIDI messages", p)
	case frame.Kind == device.Delimited && !delimits(c, p):
		return fmt.Errorf("% X is no message of its frame, which begins with % X and ends with % X", p, frame.Start, frame.End)
	case frame.Kind == device.Counted && !wellCounted(frame, p):
		return fmt.Errorf("% X is no message of its frame, which begins with % X and says how long it is", p, frame.Start)
	}
	return nil
}

// Hide is some bytes without the secrets that stand in them.
func (c *Codec) Hide(p []byte) []byte {
	for _, secret := range c.description.Parameters {
		if text := c.words[secret.Name]; secret.Secret && text != "" {
			p = bytes.ReplaceAll(p, []byte(text), []byte("<"+secret.Name+">"))
		}
	}
	return p
}
