package text

import (
	"encoding/json"
	"slices"
	"strings"
)

// Kinds are the kinds of file that have a schema.
func Kinds() []string { return []string{"studio", "session", "patch", "device", "house"} }

// Schema is the JSON Schema (draft 2020-12) of a kind of file, made from the
// tables of its fields, so that editors complete and check while typing; nil for
// a kind that is none. A file that is read without an error is valid; not every
// valid file can be read, since names and ranges are beyond a schema.
func Schema(kind string) []byte {
	s := &schemas{made: map[string]bool{}}
	var root object
	switch kind {
	case "studio":
		root = s.table(studioFields)
	case "session":
		root = s.table(sessionFields)
	case "device":
		root = s.table(descriptionFields)
	case "house":
		root = s.table(houseFields)
	case "patch":
		root = object{{"anyOf", []any{s.reference(patchOrPlan()), s.reference(contentFields)}}}
	default:
		return nil
	}
	head := object{{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"title", "A " + kind + " file"}}
	if len(s.tables) > 0 {
		root = append(root, member{"$defs", s.tables})
	}
	text, err := json.MarshalIndent(append(head, root...), "", "  ")
	if err != nil {
		panic("text: a schema cannot be written: " + err.Error())
	}
	return append(text, '\n')
}

// patchOrPlan is a patch file with what plans print beside the patch.
func patchOrPlan() Table {
	t := patchFields
	t.Fields = slices.Clone(t.Fields)
	for _, key := range planFields {
		t.Fields = append(t.Fields, Field{Key: key, Kind: Other, Help: "what plans print beside the patch; it is passed over"})
	}
	return t
}

// schemas collects the tables that a schema refers to, each once.
type schemas struct {
	made   map[string]bool
	tables object
}

// object is a JSON object that keeps its order.
type object []member

type member struct {
	key   string
	value any
}

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var b strings.Builder
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		key, err := json.Marshal(m.key)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return []byte(b.String()), nil
}

// reference puts a table among the definitions.
func (s *schemas) reference(t Table) object {
	id := strings.ReplaceAll(t.Name, " ", "-")
	if !s.made[id] {
		s.made[id] = true
		at := len(s.tables)
		s.tables = append(s.tables, member{id, nil})
		s.tables[at].value = s.table(t)
	}
	return object{{"$ref", "#/$defs/" + id}}
}

// table is a mapping with the fields of a table. Where none is required the
// mapping may be left empty, which YAML reads as nothing.
func (s *schemas) table(t Table) object {
	var fields object
	for _, f := range t.Fields {
		fields = append(fields, member{f.Key, s.described(f)})
	}
	o := object{{"type", "object"}, {"properties", fields}}
	var required []string
	for _, f := range t.required() {
		required = append(required, f.Key)
	}
	if required == nil {
		o[0].value = []string{"object", "null"}
	} else {
		o = append(o, member{"required", required})
	}
	if t.Open {
		return append(o, member{"additionalProperties", anyText})
	}
	return append(o, member{"additionalProperties", false})
}

func (s *schemas) described(f Field) object {
	help := f.Help
	if f.Form != "" {
		help += ": " + f.Form
	}
	return append(object{{"description", help}}, s.field(f)...)
}
