package text

import (
	"fmt"
	"strings"
)

// Place is where something stands in a file. Line and Column count from 1,
// columns in characters; they are 0 where only the file is known.
type Place struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
}

// String is file:line:column, as compilers print it.
func (p Place) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Places knows where the parts of a file stand, by key.
type Places struct {
	at map[string]Place
}

// Of is the place of a key, such as gear.interface.outputs or connect[2]. A key
// that the file does not have falls back to its nearest parent; false if there
// is none.
func (p Places) Of(key string) (Place, bool) {
	for {
		if place, ok := p.at[key]; ok {
			return place, true
		}
		if key == "" {
			return Place{}, false
		}
		key = key[:max(0, strings.LastIndexAny(key, ".["))]
	}
}

// Keys are all keys that have a place, in no order.
func (p Places) Keys() []string {
	keys := make([]string, 0, len(p.at))
	for key := range p.at {
		keys = append(keys, key)
	}
	return keys
}

func (p Places) set(key string, place Place) {
	if _, had := p.at[key]; !had {
		p.at[key] = place
	}
}
