package journal

import (
	"encoding/json"
	"reflect"
	"slices"

	"bayhand/recall/keep"
)

// pasts are what undos go back to, as they were written last. In a building they are most
// of the memory, one for each room, and a tick changes none of them: each is written in
// JSON once. Nobody changes one that is made.
type pasts []pastText

type pastText struct {
	past keep.Past
	text []byte
}

// memory is the JSON of a memory, as json.Marshal has it but for the order of its fields.
func (p *pasts) memory(m keep.Memory) ([]byte, error) {
	var all pasts
	for _, one := range m.Pasts {
		text, err := p.text(one)
		if err != nil {
			return nil, err
		}
		all = append(all, pastText{one, text})
	}
	*p = all
	m.Pasts = nil
	text, err := json.Marshal(m)
	if err != nil || len(all) == 0 {
		return text, err
	}
	return append(slices.Grow(text[:len(text)-1], all.size()), all.field()...), nil
}

// text is one past in JSON.
func (p pasts) text(one keep.Past) ([]byte, error) {
	for _, had := range p {
		if slices.Equal(had.past.Rooms, one.Rooms) && reflect.DeepEqual(had.past, one) {
			return had.text, nil
		}
	}
	return json.Marshal(one)
}

// field is the rest of the memory's object: the pasts and its end.
func (p pasts) field() []byte {
	text := append(make([]byte, 0, p.size()), `,"pasts":[`...)
	for i, one := range p {
		if i > 0 {
			text = append(text, ',')
		}
		text = append(text, one.text...)
	}
	return append(text, "]}"...)
}

func (p pasts) size() int {
	size := len(`,"pasts":[]}`)
	for _, one := range p {
		size += len(one.text) + 1
	}
	return size
}
