package keep

import (
	"encoding/json"
	"errors"
	"reflect"
	"slices"
	"testing"
	"time"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

func TestWordsOfTheStatus(t *testing.T) {
	fact := Fact{How: Read, Since: time.Date(2031, 5, 4, 10, 20, 30, 0, time.UTC)}
	t1, b2 := name.At("main", "t", 1), name.At("main", "b", 2)
	for _, c := range []struct {
		value any
		want  string
	}{
		{KnownCord{Cord: patch.Cord{A: t1, B: b2, Length: 60 * measure.Centimetre, Poles: 2}, Fact: fact},
			`{"ends":["main/t1","main/b2"],"length":"60 cm","poles":2,"how":"read","since":"2031-05-04T10:20:30Z"}`},
		{KnownCord{Cord: patch.Cord{A: t1}, Fact: fact}, `{"ends":["main/t1"],"how":"read","since":"2031-05-04T10:20:30Z"}`},
		{KnownLead{patch.Lead{Port: name.At("synth", "out", 1), Jack: t1}, fact}, `{"port":"synth/out1","jack":"main/t1","how":"read","since":"2031-05-04T10:20:30Z"}`},
		{KnownDummy{t1, fact}, `{"jack":"main/t1","how":"read","since":"2031-05-04T10:20:30Z"}`},
		{KnownCrosspoint{name.At("grid", "out", 1), name.At("grid", "in", 5), fact}, `{"matrix":"grid","output":"out1","input":"in5","how":"read","since":"2031-05-04T10:20:30Z"}`},
		{KnownCrosspoint{Output: name.At("grid", "out", 1), Fact: fact}, `{"matrix":"grid","output":"out1","input":"off","how":"read","since":"2031-05-04T10:20:30Z"}`},
		{Known{}, `{"cords":[],"leads":[],"dummies":[],"crosspoints":[]}`},
		{DoneStep{plan.Step{ID: "1", By: "person", Do: plan.Mute, After: []string{}}, fact},
			`{"id":"1","by":"person","do":"mute","after":[],"because":"","how":"read","since":"2031-05-04T10:20:30Z"}`},
		{Status{}, `{"seq":0,"studio":"","session":"","recall":0,"phase":"","rooms":[],"left":[],"done":[],` +
			`"known":{"cords":[],"leads":[],"dummies":[],"crosspoints":[]},"guests":[],"inside":[],"silenced":[],"write-only":[],"tags":[],"matrices":[],"problems":[]}`},
	} {
		text, err := json.Marshal(c.value)
		if err != nil || string(text) != c.want {
			t.Errorf("%T prints as\n%s, %v, want\n%s", c.value, text, err, c.want)
		}
		back := reflect.New(reflect.TypeOf(c.value))
		if err := json.Unmarshal(text, back.Interface()); err != nil {
			t.Errorf("%s: %v", text, err)
		}
		again, err := json.Marshal(back.Interface())
		if err != nil || string(again) != c.want {
			t.Errorf("%s reads back as %s, %v", c.want, again, err)
		}
	}
}

func FuzzKnown(f *testing.F) {
	f.Add(`{"cords":[{"ends":["main/t1","main/b2"],"length":"60 cm","how":"told","since":"2031-05-04T10:20:30Z"}],"crosspoints":[{"matrix":"grid","output":"out1","input":"off","how":"sent"}]}`)
	f.Add(`{"cords":[{"ends":[]}],"leads":[{"port":"synth/out1","jack":"main/t1"}],"dummies":[{"jack":"main/t1"}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		var k Known
		if json.Unmarshal([]byte(text), &k) != nil {
			return
		}
		printed, err := json.Marshal(k)
		if err != nil {
			return // a time beyond the year 9999 does not print
		}
		var again Known
		if err := json.Unmarshal(printed, &again); err != nil {
			t.Fatalf("%s does not read back: %v", printed, err)
		}
		if twice, err := json.Marshal(again); err != nil || string(twice) != string(printed) {
			t.Fatalf("%s prints again as %s, %v", printed, twice, err)
		}
	})
}

func TestCodes(t *testing.T) {
	for _, c := range codes {
		if !slices.Contains(Codes(c.err), c.code) || Sentinel(c.code) != c.err {
			t.Errorf("%s and %v", c.code, c.err)
		}
	}
	if Code(ErrBeside) != "conflict" || !errors.Is(Sentinel("beside"), ErrConflict) {
		t.Error("who knows no session beside hears of a conflict")
	}
	if Code(&NotGivenError{}) != "not-given" || Sentinel("internal") != nil {
		t.Error("a session that cannot be given, or an unknown code")
	}
}
