package serve

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"bayhand/model/effect"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// The description is held against the server, and the server against it, by
// JSON Schema (2020-12), which is what OpenAPI 3.1 describes values with; and the
// description itself against the schema that the OpenAPI Initiative publishes.

// schemas compiles what is at a place of the description.
type schemas struct {
	t        *testing.T
	compiler *jsonschema.Compiler
	whole    any
}

func describing(t *testing.T) schemas {
	t.Helper()
	whole := valueOf(t, string(openAPI))
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("openapi.json", whole); err != nil {
		t.Fatal(err)
	}
	return schemas{t, c, whole}
}

func valueOf(t *testing.T, text string) any {
	t.Helper()
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%v in %q", err, text)
	}
	return value
}

// at goes down the description; nil where there is nothing.
func (d schemas) at(path ...string) any {
	here := d.whole
	for _, key := range path {
		m, ok := here.(map[string]any)
		if !ok {
			return nil
		}
		here = m[key]
	}
	return here
}

// holds is why a value is not as the schema at a place says; nil if it is.
func (d schemas) holds(text string, path ...string) error {
	d.t.Helper()
	var pointer strings.Builder
	for _, key := range path {
		pointer.WriteString("/" + url.PathEscape(strings.NewReplacer("~", "~0", "/", "~1").Replace(key)))
	}
	compiled, err := d.compiler.Compile("openapi.json#" + pointer.String())
	if err != nil {
		d.t.Fatal(err)
	}
	return compiled.Validate(valueOf(d.t, text))
}

func TestDescriptionIsSound(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("testdata", "openapi-3.1-schema.json"))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("openapi-3.1-schema.json", valueOf(t, string(text))); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("openapi-3.1-schema.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := compiled.Validate(valueOf(t, string(openAPI))); err != nil {
		t.Error(err)
	}
	// It is one that finds what is wrong.
	if err := compiled.Validate(valueOf(t, strings.Replace(string(openAPI), `"responses"`, `"answers"`, 1))); err == nil {
		t.Error("a description without responses is sound, too")
	}
	describing(t).eachSchema()
}

// eachSchema compiles every schema: a reference that leads nowhere fails.
func (d schemas) eachSchema() {
	for name := range d.at("components", "schemas").(map[string]any) {
		if _, err := d.compiler.Compile("openapi.json#/components/schemas/" + name); err != nil {
			d.t.Error(err)
		}
	}
}

// Every route is described, with the role that it needs, and nothing else is.
func TestEveryRouteIsDescribed(t *testing.T) {
	var d struct {
		Paths map[string]map[string]struct {
			Role string `json:"x-role"`
		} `json:"paths"`
	}
	if err := json.Unmarshal(openAPI, &d); err != nil {
		t.Fatal(err)
	}
	var described, answered []string
	for path, methods := range d.Paths {
		for method, o := range methods {
			described = append(described, strings.ToUpper(method)+" "+path+" "+o.Role)
		}
	}
	for _, r := range (&Server{room: &fake{}}).routes() {
		role := r.role.String()
		if r.role == RoleUnknown {
			role = ""
		}
		answered = append(answered, r.method+" "+r.path+" "+role)
	}
	slices.Sort(described)
	slices.Sort(answered)
	if !slices.Equal(described, answered) {
		t.Errorf("described are\n%s\nand answered\n%s", strings.Join(described, "\n"), strings.Join(answered, "\n"))
	}
}

// asked are requests to every route, good ones and bad ones.
var asked = []struct {
	method, path, body string
	// bad requests are such that the description does not allow them either.
	bad bool
}{
	{method: "GET", path: "/health"},
	{method: "GET", path: "/health?nonce=0123456789abcdef0123456789abcdef"},
	{method: "GET", path: "/health?nonce=short", bad: true},
	{method: "GET", path: "/metrics"},
	{method: "GET", path: "/api/openapi.json"},
	{method: "GET", path: "/api/status"},
	{method: "GET", path: "/api/health"},
	{method: "GET", path: "/api/history"},
	{method: "GET", path: "/api/history?since=1&from=2031-05-04T10:00:00Z&until=2031-05-05T10:00:00Z&session=tern&point=main/t1&kind=done&kind=not&last=3"},
	{method: "GET", path: "/api/history?last=many", bad: true},
	{method: "POST", path: "/api/prune", body: `{"before":"2031-05-04T10:00:00Z"}`},
	{method: "POST", path: "/api/prune", body: `{}`, bad: true},
	{method: "POST", path: "/api/act", body: `{"do":"recall","session":"tern"}`},
	{method: "POST", path: "/api/act", body: `{"do":"recall","session":"tern","options":{"prefer":"plain","partly":true,"leave-cords":true,"inside":true,"instead":true,"effort":1920}}`},
	{method: "POST", path: "/api/act", body: `{"do":"recall","session":"rest","options":{"room":"live"}}`},
	{method: "POST", path: "/api/act", body: `{"do":"recall","session":"tern","options":{"perfer":"plain"}}`, bad: true},
	{method: "POST", path: "/api/act", body: `{"do":"recall"}`, bad: true},
	{method: "POST", path: "/api/act", body: `{"do":"preview","session":"rest"}`},
	{method: "POST", path: "/api/act", body: `{"do":"undo"}`},
	{method: "POST", path: "/api/act", body: `{"do":"undo","session":"tern"}`, bad: true},
	{method: "POST", path: "/api/act", body: `{"do":"done","ids":["1","2"]}`},
	{method: "POST", path: "/api/act", body: `{"do":"done","all":true}`},
	{method: "POST", path: "/api/act", body: `{"do":"not-done","ids":["1"]}`},
	{method: "POST", path: "/api/act", body: `{"do":"not-done","all":true}`, bad: true},
	{method: "POST", path: "/api/act", body: `{"do":"done","ids":[1]}`, bad: true},
	{method: "POST", path: "/api/act", body: `{"do":"still"}`},
	{method: "POST", path: "/api/act", body: `{"do":"plug","a":"main/t1","b":"main/b2"}`},
	{method: "POST", path: "/api/act", body: `{"do":"plug","a":"main/t1"}`},
	{method: "POST", path: "/api/act", body: `{"do":"pull","a":"main/t1"}`},
	{method: "POST", path: "/api/act", body: `{"do":"pull","a":"main/t1","b":"main/t2"}`, bad: true},
	{method: "POST", path: "/api/act", body: `{"do":"move","a":"main/t1","b":"main/b2"}`},
	{method: "POST", path: "/api/act", body: `{"do":"faulty","a":"main/t1"}`},
	{method: "POST", path: "/api/act", body: `{"do":"heard","a":"main/t1","b":"main/b1"}`},
	{method: "POST", path: "/api/act", body: `{"do":"heard","a":"main/t1"}`, bad: true},
	{method: "POST", path: "/api/act", body: `{"do":"not-heard","a":"main/t1","b":"main/b1"}`},
	{method: "POST", path: "/api/act", body: `{"do":"by-ear","a":"main/t1","b":"main/b1"}`},
	{method: "POST", path: "/api/act", body: `{"do":"sound","a":"main/t1"}`},
	{method: "POST", path: "/api/act", body: `{"do":"put-back","matrix":"grid"}`},
	{method: "POST", path: "/api/act", body: `{"do":"leave","matrix":"grid"}`},
	{method: "POST", path: "/api/act", body: `{"do":"replaced","matrix":"grid"}`},
	{method: "POST", path: "/api/act", body: `{"do":"replaced"}`, bad: true},
	{method: "POST", path: "/api/act", body: `{"do":"dance"}`, bad: true},
	{method: "POST", path: "/api/act", body: `{}`, bad: true},
	{method: "POST", path: "/api/invite", body: `{"role":"tick"}`},
	{method: "POST", path: "/api/invite", body: `{"role":"all"}`, bad: true},
	{method: "POST", path: "/api/invite", body: `{"role":"recall","who":"anna","here":true}`},
	{method: "GET", path: "/api/screens"},
	{method: "POST", path: "/api/revoke", body: `{"all":true}`},
	{method: "POST", path: "/api/revoke", body: `{"id":"gone"}`},
	{method: "POST", path: "/api/revoke", body: `{}`, bad: true},
}

// Every request that is answered is one that the description has, every one that
// it has not is refused, and every answer is as it says: in a room that is well,
// with each error that a room can have, and with and without a token.
func TestAnswersAreAsDescribed(t *testing.T) {
	v := describing(t)
	s := serving(t, Options{History: book{}, Access: fixed(Access{Look: "looks", Tick: "ticks", Recall: "recalls"})})
	s.server.hosts.loopback = false
	s.server.limits = unlimited()
	t1 := []name.Point{name.At("main", "t", 1)}
	s.room.does = &effect.Effect{
		Changes: []effect.Heard{{Destination: t1[0], Hears: t1, Would: []name.Point{}}}, Joins: [][]name.Point{t1}, Loops: [][]name.Point{},
		Loudspeakers: t1, Cautions: []effect.Caution{{Code: "code", Severity: "error", Message: "m", Hint: "h"}},
	}
	missing := &keep.NotGivenError{Session: "tern", Missing: []plan.Missing{{Want: "a/out1 -> b/in1", Because: "so", Proof: plan.ByCounting,
		Shortage: &plan.Shortage{Takes: []plan.Taking{{Source: t1[0], At: t1, Least: 1}}, Of: []plan.Scarce{{What: plan.ScarceJack, At: t1[0], Count: 1, Price: 1}}, Need: 2, Have: 1},
		InUse:    []plan.InUse{{Session: "heron", Rooms: []string{"live"}, Places: t1, Cords: 2, Dummies: 1}}}}}
	tooShort := &keep.NotGivenError{Session: "tern", Stopped: true}
	rooms := map[string]error{"well": nil, "missing": missing, "searched too short": tooShort, "unheard of": io.ErrUnexpectedEOF}
	for _, err := range []error{
		keep.ErrNoAnswer, keep.ErrRefused, keep.ErrDiffers, keep.ErrUnknownSession, keep.ErrUnknownStep, keep.ErrUnknownPoint,
		keep.ErrConflict, keep.ErrBeside, keep.ErrUsage, keep.ErrNoStudio, keep.ErrJournal, keep.ErrStopped,
	} {
		rooms[err.Error()] = err
	}
	seen := map[string]bool{}
	for what, err := range rooms {
		s.room.answers(whole(), err)
		for _, token := range []string{s.server.Token(), "looks", ""} {
			for _, q := range asked {
				if token != s.server.Token() && q.method != "GET" && err != nil {
					continue // whoever may not do it is refused before the room is asked
				}
				if q.method == "GET" && err != nil && !errors.Is(err, keep.ErrStopped) && what != "unheard of" {
					continue // whoever only looks cannot be told of these
				}
				response := s.ask(t, q.method, q.path, q.body, token)
				called := fmt.Sprintf("%s: %s %s %s with %.5q: %d", what, q.method, q.path, q.body, token, response.StatusCode)
				if err := v.answered(q.method, q.path, response); err != nil {
					t.Errorf("%s: %v", called, err)
				}
				if token != s.server.Token() {
					continue
				}
				seen[q.method+" "+strings.Split(q.path, "?")[0]] = true
				if err := v.asks(q.method, q.path, q.body); (err == nil) == q.bad {
					t.Errorf("%s: the description has it as %v", called, err)
				}
				if q.bad != (response.StatusCode == http.StatusBadRequest) && err == nil {
					t.Errorf("%s: bad is %v", called, q.bad)
				}
			}
		}
	}
	for _, r := range s.server.routes() {
		if r.path != "/api/events" && !seen[r.method+" "+r.path] { // streams have TestStreamsAreAsDescribed
			t.Errorf("%s %s was never asked", r.method, r.path)
		}
	}
}

// answered is why an answer is not as described; nil if it is.
func (d schemas) answered(method, path string, response *http.Response) error {
	path, _, _ = strings.Cut(path, "?")
	place := []string{"paths", path, strings.ToLower(method), "responses", strconv.Itoa(response.StatusCode)}
	if d.at(place...) == nil {
		return fmt.Errorf("the status %d is not described", response.StatusCode)
	}
	kind, _, err := mime.ParseMediaType(response.Header.Get("Content-Type"))
	if err != nil {
		return err
	}
	place = append(place, "content", kind)
	if d.at(place...) == nil {
		return fmt.Errorf("an answer of %s is not described", kind)
	}
	text, err := io.ReadAll(response.Body)
	if err != nil || kind != "application/json" {
		return err
	}
	return d.holds(string(text), append(place, "schema")...)
}

// asks is why a request is not one that is described; nil if it is.
func (d schemas) asks(method, path, body string) error {
	path, query, _ := strings.Cut(path, "?")
	operation := []string{"paths", path, strings.ToLower(method)}
	if body != "" {
		return d.holds(body, append(operation, "requestBody", "content", "application/json", "schema")...)
	}
	values, err := url.ParseQuery(query)
	if err != nil {
		return err
	}
	parameters, _ := d.at(append(operation, "parameters")...).([]any)
	for key, texts := range values {
		i := slices.IndexFunc(parameters, func(p any) bool { return p.(map[string]any)["name"] == key })
		if i < 0 {
			return fmt.Errorf("%s is not described", key)
		}
		if err := d.parameter(append(operation, "parameters", strconv.Itoa(i), "schema"), parameters[i].(map[string]any)["schema"], texts); err != nil {
			return err
		}
	}
	return nil
}

// parameter holds texts of an address against the schema of their values.
func (d schemas) parameter(place []string, schema any, texts []string) error {
	value := strconv.Quote(texts[0])
	switch schema.(map[string]any)["type"] {
	case "integer":
		value = texts[0]
		if _, err := strconv.Atoi(value); err != nil {
			return err
		}
	case "array":
		list, err := json.Marshal(texts)
		if err != nil {
			return err
		}
		value = string(list)
	}
	return d.holds(value, place...)
}

// unlimited is a server's account of a machine that may ask for a lot.
func unlimited() limits {
	return limits{machines: map[string]*machine{"loopback ": free(), "loopback " + strconv.Itoa(os.Getuid()): free()}}
}
