package text

import (
	"slices"
	"strconv"

	"bayhand/model/device"
	"bayhand/model/name"
)

// takenWords mean something else in a message or beside the parameters of a
// studio's device.
var takenWords = []string{"output", "input", "code", "packet", "closed", "length", "preset", "label", "message", "identity", "description", "link"}

func (d *deviceReader) parameters(n *node) {
	for _, e := range n.eachEntry() {
		if err := name.CheckOwner(e.key.text); err != nil {
			d.nameFault(e.key, err)
			continue
		}
		if slices.Contains(takenWords, e.key.text) {
			d.fault(e.key, "name", "give it another name", "a parameter cannot be called %s; the word means something else in descriptions", e.key.text)
			continue
		}
		d.device.Parameters = append(d.device.Parameters, d.parameter(e.key.text, d.fields(e.value, parameterFields)))
	}
}

// parameter is one of some words, or a number within bounds.
func (d *deviceReader) parameter(text string, v values) device.Parameter {
	p := device.Parameter{Name: text, Help: v.text("help"), Choices: v.texts("choices"), From: v.number("from", 0), To: v.number("to", 0), Default: v.text("default")}
	words, numbers := v.has("choices"), v.has("from") && v.has("to")
	p.Secret = v.flag("secret", false)
	switch {
	case v.node == nil:
	case p.Secret && (words || v.has("from") || v.has("to") || v.has("default")):
		d.report(d.placeOf(v.node), "parameter", "take the others out", "the parameter %s is a secret, which has no choices, no bounds and no default", text)
	case p.Secret:
	case words && (v.has("from") || v.has("to")), !words && !numbers:
		d.report(d.placeOf(v.node), "parameter", "write choices: [outputs, inputs], or from: 0 and to: 127", "the parameter %s is one of some choices, or a number from one to another", text)
	case words && len(p.Choices) == 0:
		d.fault(v.of["choices"], "empty", "", "the parameter %s has no choices", text)
	case numbers && p.From > p.To:
		d.fault(v.of["to"], "number", "", "the numbers run from %d to %d; the lower one stands first", p.From, p.To)
	case v.has("default"):
		d.legalValue(v.of["default"], p)
	}
	return p
}

// legalValue checks a value of a parameter.
func (d *deviceReader) legalValue(n *node, p device.Parameter) {
	if p.Secret {
		return
	}
	if len(p.Choices) > 0 {
		d.wordOf(n, p.Choices)
		return
	}
	d.numberOf(n, p.From, p.To)
}

// numeric says whether the name is that of a parameter that is a number; word
// whether it is one that is a word.
func (d *deviceReader) parameterKind(text string) (numeric, word bool) {
	for _, p := range d.device.Parameters {
		if p.Name == text {
			return len(p.Choices) == 0 && !p.Secret, len(p.Choices) > 0 || p.Secret
		}
	}
	return false, false
}

// parameterNames are the parameters that are numbers, or those that are words.
func (d *deviceReader) parameterNames(numeric bool) []string {
	var names []string
	for _, p := range d.device.Parameters {
		if (len(p.Choices) == 0 && !p.Secret) == numeric {
			names = append(names, p.Name)
		}
	}
	return names
}

// parameterValues reads the parameters of a transcript.
func (d *deviceReader) parameterValues(n *node) map[string]string {
	given := map[string]string{}
	for _, e := range n.eachEntry() {
		i := slices.IndexFunc(d.device.Parameters, func(p device.Parameter) bool { return p.Name == e.key.text })
		if i < 0 {
			names := append(d.parameterNames(true), d.parameterNames(false)...)
			d.fault(e.key, "unknown-name", maybe(e.key.text, names), "the device has no parameter %s; it has %s", quoteText(e.key.text), oneOf(names))
			continue
		}
		if d.isText(e.value) {
			d.legalValue(e.value, d.device.Parameters[i])
			given[e.key.text] = e.value.text
		}
	}
	return given
}

// dimensions reads 16x16, inputs x outputs.
func (r *reader) dimensions(n *node) (inputs, outputs int, ok bool) {
	for i, c := range n.text {
		if c != 'x' {
			continue
		}
		in, err := strconv.Atoi(n.text[:i])
		out, err2 := strconv.Atoi(n.text[i+1:])
		if err == nil && err2 == nil && in > 0 && out > 0 && in <= most && out <= most {
			return in, out, true
		}
	}
	r.fault(n, "size", "write 16x16", "%s is no size; it is inputs x outputs", quoteText(n.text))
	return 0, 0, false
}
