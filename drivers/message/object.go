package message

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"

	"bayhand/model/device"
)

// object writes the members of a JSON object (RFC 8259) without spaces, in the order
// of the description.
func (w *writer) object(f device.Field, s scope) error {
	w.out.WriteByte('{')
	for i, member := range f.Of {
		if i > 0 {
			w.out.WriteByte(',')
		}
		w.out.Write(quotedJSON(member.Key))
		w.out.WriteByte(':')
		if err := w.member(member, s); err != nil {
			return err
		}
	}
	w.out.WriteByte('}')
	return nil
}

func quotedJSON(text string) []byte {
	p, err := json.Marshal(text)
	if err != nil {
		return []byte(`""`) // a text always marshals
	}
	return p
}

// member writes one value.
func (w *writer) member(f device.Field, s scope) error {
	switch f.Kind {
	case device.Object:
		return w.object(f, s)
	case device.Text:
		w.out.Write(quotedJSON(w.text(f.Value)))
		return nil
	case device.Number:
		return w.jsonNumber(f, s)
	case device.Each:
		w.out.WriteByte('[')
		for i, c := range w.rounds(f.Over) {
			if i > 0 {
				w.out.WriteByte(',')
			}
			if err := w.member(f.Of[0], scope{inside: true, crosspoint: c}); err != nil {
				return err
			}
		}
		w.out.WriteByte(']')
		return nil
	default:
		w.out.Write(f.Bytes)
		return nil
	}
}

func (w *writer) jsonNumber(f device.Field, s scope) error {
	n, err := w.worth(f, s)
	if err != nil {
		return err
	}
	switch {
	case f.Value == "input" && n == 0 && len(f.Off) > 0:
		w.out.Write(f.Off)
	case len(f.Words) > 0:
		text, err := word(f, n)
		if err != nil {
			return fmt.Errorf("%s %d: %w", f.Value, n, err)
		}
		w.out.Write(quotedJSON(string(text)))
	default:
		w.out.WriteString(strconv.Itoa(n + w.codec.offset(f)))
	}
	return nil
}

// object reads a JSON object by its keys; members that are not described are passed
// over.
func (r *reader) object(f device.Field) error {
	decoder := json.NewDecoder(bytes.NewReader(r.in[r.at:]))
	var members map[string]json.RawMessage
	if err := decoder.Decode(&members); err != nil || members == nil {
		return r.other("found %s where a JSON object is due", show(r.in[r.at:]))
	}
	if err := r.members(f, members); err != nil {
		return err
	}
	r.at += int(decoder.InputOffset())
	return nil
}

func (r *reader) members(f device.Field, members map[string]json.RawMessage) error {
	for _, member := range f.Of {
		raw, ok := members[member.Key]
		if !ok {
			return r.other("the key %q is missing", member.Key)
		}
		if err := r.member(member, raw); err != nil {
			return err
		}
	}
	return nil
}

// member reads one value.
func (r *reader) member(f device.Field, raw json.RawMessage) error {
	switch f.Kind {
	case device.Object:
		var members map[string]json.RawMessage
		if err := json.Unmarshal(raw, &members); err != nil || members == nil {
			return r.other("found %s where a JSON object is due", show(raw))
		}
		return r.members(f, members)
	case device.Text:
		var text string
		if err := json.Unmarshal(raw, &text); err != nil {
			return r.other("found %s where a text is due", show(raw))
		}
		return jsonText(r, f, text)
	case device.Number:
		return jsonValue(r, f, raw)
	case device.Each:
		return array(r, f, raw)
	default:
		if !sameJSON(raw, f.Bytes) {
			return r.other("found %s where %s is due", show(raw), f.Bytes)
		}
		return nil
	}
}

func jsonText(r *reader, f device.Field, text string) error {
	inner := reader{codec: r.codec, in: []byte(text), tail: 0}
	if err := inner.text(f, nil); err != nil {
		return err
	}
	if inner.at < len(text) {
		return r.other("found %q where the text %s is due", text, f.Value)
	}
	switch f.Value {
	case "label":
		r.says.Label = inner.says.Label
	case "message":
		r.says.Text = inner.says.Text
	case "identity":
		r.says.Identity = inner.says.Identity
	}
	return nil
}

// jsonValue reads a number, the word that stands for one, or what stands for off. What
// is none of them is an output that is unclear, where the output is known.
func jsonValue(r *reader, f device.Field, raw json.RawMessage) error {
	r.ganged = r.ganged || f.Gang
	if len(f.Off) > 0 && sameJSON(raw, f.Off) {
		r.now.Input, r.seen = 0, true
		return nil
	}
	n, ok := jsonInt(f, raw)
	if ok {
		return r.assign(f, n)
	}
	if output := max(r.now.Output, r.asked); f.Value == "input" && r.reads && output > 0 {
		r.now.Output, r.seen, r.unclear = output, true, readable(raw)
		return nil
	}
	return r.other("found %s where the number %s is due", show(raw), f.Value)
}

func jsonInt(f device.Field, raw json.RawMessage) (int, bool) {
	var text string
	if json.Unmarshal(raw, &text) == nil && string(raw) != "null" {
		for _, w := range f.Words {
			if string(w.Bytes) == text {
				return w.Number, true
			}
		}
		return 0, false
	}
	n, err := strconv.Atoi(string(raw))
	return n, err == nil && len(f.Words) == 0
}

// array reads the rounds of an Each.
func array(r *reader, f device.Field, raw json.RawMessage) error {
	var items []json.RawMessage
	if err := json.Unmarshal(raw, &items); err != nil || items == nil {
		return r.other("found %s where an array is due", show(raw))
	}
	want := map[device.Over]int{device.Outputs: r.codec.outputs, device.Inputs: r.codec.inputs, device.EachGang: r.codec.outputs / max(1, r.codec.description.Gangs.Of)}[f.Over]
	if f.Over != device.Changes && len(items) != want {
		return fmt.Errorf("%w: an array of %d %s, and the matrix was said to have %d", ErrValue, len(items), f.Over, want)
	}
	for i, item := range items {
		if err := r.item(f, i+1, item); err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) item(f device.Field, number int, raw json.RawMessage) error {
	switch f.Over {
	case device.Outputs:
		r.now, r.seen = Crosspoint{Output: number}, true
	case device.EachGang:
		number = (number-1)*r.codec.description.Gangs.Of + 1
		r.now, r.seen, r.ganged = Crosspoint{Output: number}, true, true
	case device.Inputs:
		r.now, r.seen = Crosspoint{Output: r.asked, Input: number}, false
	default:
		r.now, r.seen = Crosspoint{}, false
	}
	if err := r.member(f.Of[0], raw); err != nil {
		return err
	}
	if (f.Over == device.Outputs || f.Over == device.EachGang) && r.now.Output != number {
		return fmt.Errorf("%w: output %d stands in the place of output %d", ErrValue, r.now.Output, number)
	}
	return r.commit()
}

// sameJSON says whether two values are the same, however they are spaced.
func sameJSON(a, b []byte) bool {
	var x, y any
	return json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil && reflect.DeepEqual(x, y)
}
