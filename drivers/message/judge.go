package message

import (
	"fmt"
	"slices"

	"bayhand/model/device"
	"bayhand/model/phrase"
)

// Meaning is what a message means to whoever asked a question.
type Meaning uint8

const (
	// MeaningUnknown is the zero value: none of the answers of the question.
	MeaningUnknown Meaning = iota
	// Busy means not now: nothing was done, and it may be asked again.
	Busy
	// Wait announces that the answer takes long.
	Wait
	// Cancelled means that the device gave up and may have done a part.
	Cancelled
	// Refusal means no.
	Refusal
	// Answer is the answer itself.
	Answer
	// End closes an answer of several messages.
	End
)

// meanings are in the order in which an answer is tried on a message: what is
// narrow before what is wide, since the word for busy is often written as a refusal
// or as a line of text.
var meanings = [...]struct {
	Meaning Meaning
	name    string
	of      func(device.Exchange) []device.Field
}{
	{Busy, "busy", func(e device.Exchange) []device.Field { return e.Busy }},
	{Wait, "wait", func(e device.Exchange) []device.Field { return e.Wait }},
	{Cancelled, "cancelled", func(e device.Exchange) []device.Field { return e.Cancelled }},
	{Refusal, "refusal", func(e device.Exchange) []device.Field { return e.Refusal }},
	{End, "end", func(e device.Exchange) []device.Field { return e.End }},
	{Answer, "answer", func(e device.Exchange) []device.Field { return e.Answer }},
}

// String is the key of a description.
func (m Meaning) String() string {
	for _, known := range meanings {
		if known.Meaning == m {
			return known.name
		}
	}
	return "unknown"
}

// form is one answer of an exchange.
type form struct {
	meaning Meaning
	fields  []device.Field
}

func formsOf(e device.Exchange) []form {
	var forms []form
	for _, m := range meanings {
		if fields := m.of(e); len(fields) > 0 {
			forms = append(forms, form{m.Meaning, fields})
		}
	}
	return forms
}

// Judge reads a message as one of the answers to a question about an output, 0 for
// none in particular. Where several fit, the first of busy, wait, cancelled,
// refusal, end and answer counts, except that one which reads all that another says
// comes after it. MeaningUnknown comes with ErrOther. An answer that says what
// cannot be is Answer with ErrValue, and what was read before that value.
func (c *Codec) Judge(role device.Role, output int, message []byte) (Says, Meaning, error) {
	var said Says
	var meant Meaning
	var failed error
	for _, f := range c.judged[role] {
		about := 0
		if f.meaning == Answer {
			about = output
		}
		says, err := c.read(question{role, f.meaning, about}, f.fields, message)
		switch {
		case err == nil:
			return says, f.meaning, nil
		case isValue(err) && f.meaning == Answer:
			said, meant, failed = says, f.meaning, err
		case failed == nil:
			failed = err
		}
	}
	if failed == nil {
		failed = fmt.Errorf("%w: there is no answer to %s", ErrOther, role)
	}
	return said, meant, failed
}

// Answer reads the answer to the message of a role that asked for no output in
// particular. With ErrValue it returns what was read before the value that
// cannot be, such as the packet number.
func (c *Codec) Answer(role device.Role, message []byte) (Says, error) {
	return c.AnswerAbout(role, 0, message)
}

// AnswerAbout reads the answer to a message that asked for one output. An
// answer that names another output is ErrOther.
func (c *Codec) AnswerAbout(role device.Role, output int, message []byte) (Says, error) {
	e, _ := c.description.Exchange(role)
	return c.read(question{role, Answer, output}, e.Answer, message)
}

// Sent reads back a message that was sent.
func (c *Codec) Sent(role device.Role, message []byte) (Says, error) {
	e, _ := c.description.Exchange(role)
	q := question{role: role}
	if role == device.LabelInput {
		q.output = 1 // an input alone is of no output in particular
	}
	return c.read(q, e.Send, unescaped(c, message))
}

// question is what a message is read as: the meaning that it would have, and the
// output that was asked for, 0 for none in particular.
type question struct {
	role    device.Role
	meaning Meaning
	output  int
}

func (q question) String() string {
	if q.meaning == MeaningUnknown {
		return phrase.Put("{role} message", "role", q.role.String())
	}
	return q.role.String() + " " + q.meaning.String()
}

// reads says whether it is an answer about crosspoints.
func (q question) reads() bool {
	return q.meaning == Answer && (q.role == device.Read || q.role == device.ReadOutput || q.role == device.ReadRow)
}

func (c *Codec) read(q question, fields []device.Field, message []byte) (Says, error) {
	if len(fields) == 0 {
		return Says{}, fmt.Errorf("%w: there is no %s", ErrOther, q)
	}
	r := reader{codec: c, in: message, asked: q.output, reads: q.reads()}
	err := r.message(fields)
	if err == nil {
		return r.says, nil
	}
	if !isValue(err) {
		r.says = Says{}
	}
	return r.says, fmt.Errorf("%s of %s: %w", q, c.description.Name, err)
}

// order puts the answers of each question in the order in which they are tried. Two
// of which each reads what the other says cannot be told apart, which is an error.
func (c checker) order() error {
	c.judged = map[device.Role][]form{}
	for _, e := range c.description.Exchanges {
		forms := formsOf(e)
		samples := make([][][]byte, len(forms))
		for i, f := range forms {
			samples[i] = c.samples(f.fields)
		}
		after := func(i, j int) bool {
			return c.covers(e.Role, forms[i], samples[j]) && !c.covers(e.Role, forms[j], samples[i])
		}
		for i := range forms {
			for j := range i {
				if c.covers(e.Role, forms[i], samples[j]) && c.covers(e.Role, forms[j], samples[i]) {
					return fmt.Errorf("the message %s: its %s and its %s cannot be told apart: %s may be either", e.Role, forms[j].meaning, forms[i].meaning, c.Show(samples[i][0]))
				}
			}
		}
		c.judged[e.Role] = sorted(forms, after)
	}
	return nil
}

// sorted moves forms behind those that they must come after, and keeps all else.
func sorted(forms []form, after func(i, j int) bool) []form {
	var order []int
	for i := range forms {
		at := len(order)
		for k, j := range order {
			if after(j, i) {
				at = k
				break
			}
		}
		order = slices.Insert(order, at, i)
	}
	list := make([]form, len(order))
	for k, i := range order {
		list[k] = forms[i]
	}
	return list
}

// covers says whether an answer reads all of the samples, of which there is one.
func (c checker) covers(role device.Role, f form, samples [][]byte) bool {
	for _, p := range samples {
		if _, err := c.read(question{role: role}, f.fields, p); err != nil {
			return false
		}
	}
	return len(samples) > 0
}
