package message

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/device"
	"bayhand/model/phrase"
)

// Example is one message of a device, written out for crosspoints of a matrix,
// so that a person can hold it against the device's manual.
type Example struct {
	Role device.Role
	// About are the crosspoints that it is about; none for one about no
	// crosspoint in particular.
	About []Crosspoint
	// Bytes is what is sent; empty for a report, which the device sends by itself.
	Bytes []byte
	// Answers are the forms of what comes back, in words.
	Answers []Form
}

// Form is an answer in words: what it means, and how it is made up.
type Form struct{ Means, Form string }

// Explain writes every message of the description once, for the example
// crosspoint; where a message carries several, also for the next output.
func (c *Codec) Explain(example Crosspoint) ([]Example, error) {
	words := explainer{c}
	var all []Example
	for _, e := range c.description.Exchanges {
		x := Example{Role: e.Role, About: words.about(e, example), Answers: words.forms(e)}
		if len(e.Send) > 0 {
			var err error
			if x.Bytes, err = c.Send(e.Role, Says{Crosspoints: x.About, Packet: 1, Preset: firstPreset(c.description), Label: "Vocal mic"}); err != nil {
				return nil, err
			}
		}
		all = append(all, x)
	}
	return all, nil
}

// firstPreset is a number that the description has a preset of; 0 where it has none.
func firstPreset(d *device.Description) int {
	if len(d.Presets) == 0 {
		return 0
	}
	return d.Presets[0].Number
}

// explainer puts the messages of a codec into words.
type explainer struct{ *Codec }

// about is what an example of the message is about.
func (c explainer) about(e device.Exchange, example Crosspoint) []Crosspoint {
	switch e.Role {
	case device.Off, device.ReadOutput, device.ReadRow, device.LabelOutput:
		example.Input = 0
	case device.Close, device.Open, device.Set, device.LabelInput:
	case device.Identify, device.Read, device.Settle, device.Errors, device.Report, device.Notice, device.Cancel, device.Mute, device.Unmute, device.RecallPreset, device.RoleUnknown:
		return nil
	}
	example = c.example(example)
	gang, _ := c.Gang(example.Output)
	next := c.example(Crosspoint{Output: (example.Output-1+max(1, len(gang)))%c.outputs + 1, Input: example.Input})
	if e.Batch < 2 || next.Output == example.Output {
		return []Crosspoint{example}
	}
	return []Crosspoint{example, next}
}

func (c explainer) forms(e device.Exchange) []Form {
	var forms []Form
	for _, a := range []struct {
		means  string
		fields []device.Field
	}{
		{answerMeans(e.Role), e.Answer}, {"that was all of the answer", e.End}, {"it refuses", e.Refusal}, {"not now, ask again", e.Busy},
		{"wait, the answer takes long", e.Wait}, {"it gave up half way", e.Cancelled},
	} {
		if len(a.fields) > 0 {
			forms = append(forms, Form{a.means, c.form(a.fields)})
		}
	}
	return forms
}

func answerMeans(role device.Role) string {
	switch role {
	case device.Identify:
		return "who it is"
	case device.Read, device.ReadOutput, device.ReadRow:
		return "what it has closed"
	case device.Errors:
		return "its oldest error"
	case device.Report:
		return "it was changed at the device"
	case device.Notice:
		return "it says so by itself; nothing is done about it"
	case device.Close, device.Open, device.Set, device.Off, device.Settle, device.Cancel, device.Mute, device.Unmute, device.RecallPreset, device.LabelOutput, device.LabelInput, device.RoleUnknown:
	}
	return "done"
}

// form is how fields are made up, in words.
func (c explainer) form(fields []device.Field) string {
	var parts []string
	for _, f := range fields {
		parts = append(parts, c.part(f))
	}
	return strings.Join(parts, " ")
}

func (c explainer) part(f device.Field) string {
	switch f.Kind {
	case device.Literal:
		return c.Show(f.Bytes)
	case device.Number:
		return c.numberForm(f)
	case device.Text:
		return "<" + f.Value + ">"
	case device.Each:
		return c.eachForm(f)
	case device.Block:
		return phrase.Put("(a block of {form})", "form", c.form(f.Of))
	case device.Channels:
		return "(a channel list)"
	case device.Checked:
		return fmt.Sprintf("(%s and their %s)", c.form(f.Of), f.Check.Kind)
	case device.Hexed:
		return phrase.Put("(in hexadecimal digits: {form})", "form", c.form(f.Of))
	case device.Packed:
		return phrase.Put("(in one number: {form})", "form", c.form(f.Of))
	default:
		return c.morePart(f)
	}
}

// morePart is how a field is made up that holds others, or many.
func (c explainer) morePart(f device.Field) string {
	switch f.Kind {
	case device.Either:
		var choices []string
		for _, choice := range f.Choices {
			choices = append(choices, c.form(choice))
		}
		return "(" + strings.Join(choices, " or ") + ")"
	case device.Nibbles:
		return phrase.Put("(in nibbles: {form})", "form", c.form(f.Of))
	case device.Sevens:
		return phrase.Put("(seven bytes in eight: {form})", "form", c.form(f.Of))
	case device.Bitmap:
		return phrase.Put("(a bit for each of its {ends})", "ends", f.Over.String())
	case device.Object:
		var members []string
		for _, member := range f.Of {
			members = append(members, fmt.Sprintf("%q: %s", member.Key, c.memberForm(member)))
		}
		return "{" + strings.Join(members, ", ") + "}"
	case device.Pause:
		return fmt.Sprintf("(a rest of %d ms)", f.Milliseconds)
	default:
		return "<?>"
	}
}

func (c explainer) memberForm(f device.Field) string {
	if f.Kind == device.Literal {
		return string(f.Bytes)
	}
	return c.part(f)
}

func (c explainer) numberForm(f device.Field) string {
	if n, parameter := c.numbers[f.Value]; parameter {
		if p, err := (&writer{codec: c.Codec}).wire(f, n); err == nil && len(p) > 0 && f.Base != device.BaseUnknown {
			return c.Show(p)
		}
	}
	text := f.Value
	if f.Gang {
		text = phrase.Put("{value} in gangs of {n}", "value", text, "n", strconv.Itoa(c.description.Gangs.Of))
	}
	if f.Plus != "" {
		text += fmt.Sprintf("%+d", c.numbers[f.Plus])
	}
	if f.Add != 0 {
		text += fmt.Sprintf("%+d", f.Add)
	}
	if f.Bits.Count > 0 && f.Base != device.BaseUnknown {
		text = phrase.Put("{value} bits {low}-{high}", "value", text, "low", strconv.Itoa(f.Bits.Low), "high", strconv.Itoa(f.Bits.Low+f.Bits.Count-1))
	}
	if len(f.Off) > 0 {
		text = phrase.Put("{value}, {bytes} for off", "value", text, "bytes", c.Show(f.Off))
	}
	return "<" + text + ">"
}

func (c explainer) eachForm(f device.Field) string {
	if len(f.Separator) == 0 {
		return phrase.Put("({form} for each of its {ends})", "form", c.form(f.Of), "ends", f.Over.String())
	}
	return phrase.Put("({form} for each of its {ends}, {bytes} between them)", "form", c.form(f.Of), "ends", f.Over.String(), "bytes", c.Show(f.Separator))
}

// Show is some bytes of the device as a person reads them: text in quotes where
// its messages are lines of text, else hexadecimal.
func (c *Codec) Show(p []byte) string {
	if c.description.Frame.Kind == device.Lines && readableText(p) {
		return fmt.Sprintf("%q", p)
	}
	return fmt.Sprintf("% X", p)
}

func readableText(p []byte) bool {
	return !slices.ContainsFunc(p, func(b byte) bool {
		return b >= 0x7F || b < ' ' && b != '\n' && b != '\r' && b != '\t'
	})
}
