package text_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gopkg.in/yaml.v3"

	"bayhand/model/text"
)

// compiled is a schema made ready by a library that knows nothing of this
// project; it is held against the metaschema of draft 2020-12 on the way.
func compiled(t testing.TB, kind string) *jsonschema.Schema {
	t.Helper()
	if s := ready[kind]; s != nil {
		return s
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text.Schema(kind)))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource(kind+".json", document); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(kind + ".json")
	if err != nil {
		t.Fatal(err)
	}
	if draft := "https://json-schema.org/draft/2020-12/schema"; document.(map[string]any)["$schema"] != draft {
		t.Errorf("the schema of a %s file is not of %s", kind, draft)
	}
	ready[kind] = s
	return s
}

// ready are the schemas that were compiled already; the tests run one by one.
var ready = map[string]*jsonschema.Schema{}

// asJSON is what an editor sees of a YAML file.
func asJSON(t testing.TB, src []byte) any {
	t.Helper()
	var v any
	if err := yaml.Unmarshal(src, &v); err != nil {
		t.Fatal(err)
	}
	encoded, err := json.Marshal(withTextKeys(v))
	if err != nil {
		t.Fatal(err)
	}
	decoded, err := jsonschema.UnmarshalJSON(bytes.NewReader(encoded))
	if err != nil {
		t.Fatal(err)
	}
	return decoded
}

// withTextKeys turns the numbers among the keys into texts.
func withTextKeys(v any) any {
	switch v := v.(type) {
	case map[any]any:
		to := map[string]any{}
		for key, value := range v {
			to[fmt.Sprint(key)] = withTextKeys(value)
		}
		return to
	case map[string]any:
		for key, value := range v {
			v[key] = withTextKeys(value)
		}
	case []any:
		for i, value := range v {
			v[i] = withTextKeys(value)
		}
	}
	return v
}

// fileKinds finds the good files of each kind.
func fileKinds(t *testing.T) map[string][]string {
	return map[string][]string{
		"studio":  files(t, "testdata/ok/*/studio.yaml"),
		"session": files(t, "testdata/ok/*/session*.yaml"),
		"patch":   files(t, "testdata/ok/*/present*.yaml"),
		"house":   files(t, "testdata/ok/*/house.yaml"),
		"device":  append(files(t, "testdata/ok/devices/*.yaml"), files(t, "../../drivers/descriptions/devices/*.yaml")...),
	}
}

func TestRightFilesAreValid(t *testing.T) {
	good := fileKinds(t)
	good["studio"] = append(good["studio"], "../../cmd/bayhand/demo/heron/studio.yaml")
	good["session"] = append(good["session"], files(t, "../../cmd/bayhand/demo/heron/sessions/*.yaml")...)
	for _, kind := range text.Kinds() {
		schema := compiled(t, kind)
		for _, file := range good[kind] {
			if err := schema.Validate(asJSON(t, read(t, file))); err != nil {
				t.Errorf("%s is right and not valid: %v", file, err)
			}
		}
	}
}

// What is wrong by its shape alone is wrong to the schema too.
func TestWrongFilesAreNotValid(t *testing.T) {
	for _, file := range []string{
		"studio/keys.yaml", "studio/numbers.yaml", "studio/matrices.yaml", "studio/boxes.yaml", "studio/switches.yaml", "studio/lines.yaml",
		"session/others.yaml", "session/untitled.yaml", "session/visitors.yaml",
		"patch/cords.yaml", "patch/heading.yaml", "patch/list.yaml", "device/keys.yaml", "house/keys.yaml", "house/nameless.yaml",
	} {
		kind, _, _ := strings.Cut(file, "/")
		src := dropDuplicates(read(t, filepath.Join("testdata/bad", file)))
		if err := compiled(t, kind).Validate(asJSON(t, src)); err == nil {
			t.Errorf("%s is wrong and valid", file)
		}
	}
}

// dropDuplicates takes out the lines that are there to be a key's second time;
// YAML itself refuses those.
func dropDuplicates(src []byte) []byte {
	return bytes.ReplaceAll(src, []byte("    outputs: {out2: pro-line}\n"), nil)
}

// Each of these has one mistake.
func TestMistakesThatASchemaSees(t *testing.T) {
	for _, c := range []struct{ kind, src string }{
		{"studio", "gear: {}"},
		{"studio", "studio: x\nbays: {main: {pairs: 0, modes: isolated}}"},
		{"studio", "studio: x\nbays: {main: {pairs: 4, modes: isolate}}"},
		{"studio", "studio: x\nbays: {main: {pairs: 4, modes: isolated, pitch: 7.9}}"},
		{"studio", "studio: x\ngear: {a: {outputs: {out1: {level: 4 dBu}}}}"},
		{"studio", "studio: x\ngear: {a: {outputs: {out1: {line: pro-line, level: 4 dB}}}}"},
		{"studio", "studio: x\ngear: {a: {select: [mix1, alt1]}}"},
		{"studio", "studio: x\nmatrices: {grid: {inputs: 2, outputs: 2, kind: relays}}"},
		{"studio", "studio: x\nwiring: [{from: a/out1, too: b/in1}]"},
		{"studio", "studio: x\ncords: {stock: 30}"},
		{"session", "session: x\nprogram: 128"},
		{"session", "session: x\nconnect: [{from: a/out1}]"},
		{"session", "session: x\nguests: {keys: {output: {}}}"},
		{"session", "session: x\nsettings: {squeeze: {threshold: {to: {deep: x}}}}"},
		{"patch", "patch: {cord: []}"},
		{"patch", "cords: [{ends: [a/t1], poles: 4}]"},
		{"device", "device: x"},
	} {
		if err := compiled(t, c.kind).Validate(asJSON(t, []byte(c.src))); err == nil {
			t.Errorf("%q is valid", c.src)
		}
	}
	if text.Schema("room") != nil {
		t.Error("there is a schema for a kind of file that is none")
	}
}

// Every field of a table is in the schema with its help.
func TestSchemaHasEveryField(t *testing.T) {
	for kind, table := range map[string]text.Table{"studio": text.StudioFields(), "session": text.SessionFields(), "device": text.DeviceFields()} {
		var root struct {
			Properties map[string]struct{ Description string }
		}
		if err := json.Unmarshal(text.Schema(kind), &root); err != nil {
			t.Fatal(err)
		}
		for _, f := range table.Fields {
			if !strings.HasPrefix(root.Properties[f.Key].Description, f.Help) {
				t.Errorf("the schema of a %s file has no help for %s", kind, f.Key)
			}
		}
	}
}
