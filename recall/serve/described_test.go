package serve

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// ask sends a request, and gives its answer with a body that can be read.
func (s *served) ask(t *testing.T, method, path, body, token string) *http.Response {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), method, s.server.Address()+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	if token != "" {
		r.Header.Set("Authorization", "Bearer "+token)
	}
	response, err := s.client.http.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	response.Body = io.NopCloser(bytes.NewReader(text))
	return response
}

// book is a history with one event of every kind that there is.
type book struct{}

func (book) Find(keep.Query) ([]keep.Event, error) {
	s := whole()
	var events []keep.Event
	for i, kind := range []keep.Kind{keep.Recalled, keep.Replanned, keep.Sending, keep.WasSent, keep.WasRead, keep.StepDone,
		keep.StepNot, keep.PersonDid, keep.Drifted, keep.WasGiven, keep.Trouble} {
		e := keep.Event{Seq: uint64(i), At: time.Date(2031, 5, 4, 10, 20, 30, 0, time.UTC), Kind: kind, Text: "text"}
		if i%2 == 0 {
			e.Recall, e.Session, e.Matrix, e.By = 3, "tern", "grid", "somebody"
			e.Step, e.Known = &s.Left[0], &s.Known
			e.Changes = []plan.Change{{Output: name.At("grid", "out", 1)}}
		}
		events = append(events, e)
	}
	return events, nil
}

func (book) Prune(time.Time, keep.Event) (int, error) { return 3, nil }

// What streams and lines carry is none of the validator's: each value is held
// against its schema by itself.
func TestStreamsAreAsDescribed(t *testing.T) {
	s := serving(t, Options{History: book{}})
	d := describing(t)
	holds := func(schema, text string) {
		t.Helper()
		if err := d.holds(text, "components", "schemas", schema); err != nil {
			t.Errorf("%s: %v", text, err)
		}
	}
	response := s.ask(t, "GET", "/api/history", "", s.server.Token())
	lines := 0
	for scanner := bufio.NewScanner(response.Body); scanner.Scan(); lines++ {
		holds("Event", scanner.Text())
	}
	if lines != 11 {
		t.Errorf("%d lines of history", lines)
	}
	r, err := http.NewRequestWithContext(t.Context(), "GET", s.server.Address()+"/api/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+s.server.Token())
	stream, err := s.client.http.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer stream.Body.Close()
	s.room.post(whole())
	for in := bufio.NewReader(stream.Body); ; {
		line, err := in.ReadString('\n')
		if err != nil {
			t.Fatal(err)
		}
		if data, ok := strings.CutPrefix(line, "data: "); ok {
			holds("Status", data)
			break
		}
	}
}

// What the description has of acts, and which role each needs, is what the table
// of acts has.
func TestActsAreDescribed(t *testing.T) {
	described, err := json.MarshalIndent(actSchema(), "    ", "  ")
	if err != nil {
		t.Fatal(err)
	}
	v := describing(t)
	if has := v.at("components", "schemas", "Act"); !reflect.DeepEqual(has, valueOf(t, string(described))) {
		t.Errorf("openapi.json has another schema of acts than keep.ActKinds; it should be\n%s", described)
	}
}

// actSchema is the JSON Schema of an act, by the table of acts: one alternative a
// deed, with its fields and its role.
func actSchema() any {
	fields := map[string]any{
		"session": map[string]any{"type": "string", "minLength": 1},
		"options": map[string]any{"$ref": "#/components/schemas/RecallOptions"},
		"ids":     map[string]any{"type": "array", "items": map[string]any{"type": "string"}, "minItems": 1},
		"all":     map[string]any{"const": true},
		"means":   map[string]any{"type": "string", "minLength": 1},
		"a":       map[string]any{"$ref": "#/components/schemas/Point"},
		"b":       map[string]any{"$ref": "#/components/schemas/Point"},
		"matrix":  map[string]any{"type": "string", "minLength": 1},
		"number":  map[string]any{"type": "integer", "minimum": 1},
		"fault":   map[string]any{"type": "string", "minLength": 1},
		"switch":  map[string]any{"type": "array", "items": map[string]any{"$ref": "#/components/schemas/Change"}, "minItems": 1},
	}
	var all []any
	for _, kind := range keep.ActKinds {
		properties := map[string]any{"do": map[string]any{"const": string(kind.Do)}}
		for _, f := range slices.Concat(kind.Needs, kind.May) {
			properties[f] = fields[f]
		}
		one := map[string]any{
			"type": "object", "description": kind.Says, "x-role": roleOf(kind.Do).String(),
			"properties": properties, "required": append([]string{"do"}, kind.Needs...), "additionalProperties": false,
		}
		if kind.Do == keep.WereDone { // one of the two
			one["oneOf"] = []any{map[string]any{"required": []string{"ids"}}, map[string]any{"required": []string{"all"}}}
		}
		all = append(all, one)
	}
	return map[string]any{"description": "One thing that somebody asks of the room or says of it.", "oneOf": all}
}
