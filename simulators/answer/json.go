package answer

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strings"

	"bayhand/model/device"
)

// object is a JSON object as values.
func (w *writer) object(f device.Field) (map[string]any, error) {
	object := map[string]any{}
	for _, member := range f.Of {
		value, err := w.value(member)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", member.Key, err)
		}
		object[member.Key] = value
	}
	return object, nil
}

func (w *writer) value(f device.Field) (any, error) {
	switch f.Kind {
	case device.Object:
		return w.object(f)
	case device.Literal:
		return json.RawMessage(f.Bytes), nil
	case device.Text:
		return w.text(f.Value), nil
	case device.Number:
		return w.jsonNumber(f)
	case device.Each:
		list := []any{}
		for _, c := range w.rounds(f.Over) {
			w.now = c
			item, err := w.value(f.Of[0])
			if err != nil {
				return nil, err
			}
			list = append(list, item)
		}
		return list, nil
	default:
		return nil, errNoJSON
	}
}

func (w *writer) jsonNumber(f device.Field) (any, error) {
	if f.Gang && f.Value == inputValue && w.gangSplit() {
		return splitText, nil
	}
	number := w.count(f)
	if f.Value == inputValue && number == 0 && len(f.Off) > 0 {
		return json.RawMessage(f.Off), nil
	}
	if len(f.Words) == 0 {
		return number + w.device.settings.added(f), nil
	}
	for _, word := range f.Words {
		if word.Number == number {
			return string(word.Bytes), nil
		}
	}
	return nil, fmt.Errorf("%d has no word", number)
}

// object fits a JSON object; members that are not described make no difference.
func (m *matcher) object(f device.Field, at int, next then) bool {
	decoder := json.NewDecoder(bytes.NewReader(m.message[at:]))
	decoder.UseNumber()
	var found any
	if err := decoder.Decode(&found); err != nil {
		m.short = m.short || strings.Contains(err.Error(), "unexpected EOF")
		return false
	}
	kept := len(m.list)
	if m.value(f, found) && next(at+int(decoder.InputOffset())) {
		return true
	}
	m.list = m.list[:kept]
	return false
}

// value fits one value.
func (m *matcher) value(f device.Field, found any) bool {
	switch f.Kind {
	case device.Object:
		object, ok := found.(map[string]any)
		for _, member := range f.Of {
			inner, there := object[member.Key]
			ok = ok && there && m.value(member, inner)
		}
		return ok
	case device.Literal:
		return reflect.DeepEqual(found, valueOf(f.Bytes))
	case device.Text:
		text, ok := found.(string)
		own, set := m.settings.text(f.Value)
		return ok && (!set || own == text)
	case device.Number:
		return m.jsonNumber(f, found)
	case device.Each:
		list, ok := found.([]any)
		for _, item := range list {
			m.list = append(m.list, bound{over: f.Over})
			ok = ok && m.value(f.Of[0], item)
		}
		return ok
	default:
		return false
	}
}

func (m *matcher) jsonNumber(f device.Field, found any) bool {
	if f.Value == inputValue && len(f.Off) > 0 && reflect.DeepEqual(found, valueOf(f.Off)) {
		m.list = append(m.list, bound{value: inputValue})
		return true
	}
	if text, ok := found.(string); ok {
		for _, word := range f.Words {
			if string(word.Bytes) == text {
				m.list = append(m.list, bound{value: f.Value, number: word.Number})
				return true
			}
		}
		return false
	}
	number, ok := found.(json.Number)
	wire, err := number.Int64()
	return ok && err == nil && m.bind(f, int(wire), false)
}

// valueOf is a constant of a description as a value.
func valueOf(text []byte) any {
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.UseNumber()
	var value any
	if decoder.Decode(&value) != nil {
		return nil
	}
	return value
}
