package matrix_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/synctest"

	"github.com/google/go-cmp/cmp"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// described reads a description that stands in a test.
func described(t testing.TB, src string) *device.Description {
	t.Helper()
	d, _, problems := text.ReadDevice("test.yaml", []byte(src))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return d
}

// relays is an invented switcher that lists what is closed.
const relays = `
device: relays
links: [serial]
size: given
switching: by-crosspoint
frame: {lines: "\r\n"}
messages:
  close: {send: ["C ", {number: output, base: decimal}, ",", {number: input, base: decimal}, "\r\n"], answer: ["OK\r\n"], refusal: ["ERR ", {text: message}, "\r\n"], busy: ["ERR BUSY\r\n"]}
  open: {send: ["O ", {number: output, base: decimal}, ",", {number: input, base: decimal}, "\r\n"], answer: ["OK\r\n"], refusal: ["ERR ", {text: message}, "\r\n"], busy: ["ERR BUSY\r\n"]}
  read: {send: ["LIST\r\n"], answer: [LIST]}
pacing: {timeout: 200 ms, retries: 1}
`

const list = `{each: changes, separator: " ", of: [{number: output, base: decimal}, ",", {number: input, base: decimal}]}, "\r\n"`

// An answer that an empty line satisfies is refused: a box that wraps its answers in
// empty lines would be read as having nothing closed.
func TestEmptyLinesAreNoAnswer(t *testing.T) {
	d := described(t, strings.ReplaceAll(relays, "LIST]", list+"]"))
	if _, err := matrix.New(d, grid(4, 4, studio.Contacts), newFake(t), matrix.SystemClock{}); err == nil || !strings.Contains(err.Error(), "an empty line would be taken for it") {
		t.Errorf("it was taken: %v", err)
	}
	synctest.Test(t, func(t *testing.T) {
		d := described(t, strings.ReplaceAll(relays, "LIST]", `"IS ", `+list+"]"))
		f := newFake(t, say("LIST\r\n", "\r\nIS 1,2 3,4\r\n"), say("LIST\r\n", "\r\n", "IS 1,2 3,4\r\n"))
		d.Pacing.Readings = 2
		m := drive(t, d, grid(4, 4, studio.Contacts), f)
		defer end(t, m)
		wantRead(t, m, "1-2 3-4")
	})
}

// What nothing explains beside an answer may have been the answer.
func TestWhatIsNotExplainedVoidsTheReading(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := described(t, strings.ReplaceAll(relays, "LIST]", `"IS ", `+list+"]"))
		var turns []turn
		for range 7 {
			turns = append(turns, say("LIST\r\n", "IS \r\nIS THEN 1,2 3,4\r\n"))
		}
		m := drive(t, d, grid(4, 4, studio.Contacts), newFake(t, turns...))
		defer end(t, m)
		read, err := m.Read(context.Background())
		if !errors.Is(err, matrix.ErrNoAnswer) || read != nil || !strings.Contains(err.Error(), "IS THEN 1,2 3,4") {
			t.Errorf("read %v, %v", read, err)
		}
	})
}

// The word for busy is often written as a refusal; the device is asked again all the
// same.
func TestBusyBeforeRefusal(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := described(t, strings.ReplaceAll(relays, "LIST]", `"IS ", `+list+"]"))
		m := drive(t, d, grid(4, 4, studio.Contacts), newFake(t,
			say("C 1,2\r\n", "ERR BUSY\r\n"), say("C 1,2\r\n", "OK\r\n"), say("C 1,3\r\n", "ERR 7\r\n")))
		defer end(t, m)
		if err := m.Switch(context.Background(), nil, points("1-2")); err != nil {
			t.Error(err)
		}
		if err := m.Switch(context.Background(), nil, points("1-3")); !errors.Is(err, matrix.ErrRefused) || errors.Is(err, matrix.ErrBusy) {
			t.Error(err)
		}
	})
}

// An answer of several messages counts when its end has come, and not before.
func TestAnswerOfSeveralMessages(t *testing.T) {
	const lines = `{number: output, base: decimal}, ",", {number: input, base: decimal}, "\r\n"], end: ["OK\r\n"]`
	synctest.Test(t, func(t *testing.T) {
		d := described(t, strings.ReplaceAll(relays, "LIST]", lines))
		m := drive(t, d, grid(4, 4, studio.Contacts), newFake(t,
			say("LIST\r\n", "1,2\r\n3,4\r\n", "OK\r\n"), say("LIST\r\n", "OK\r\n"),
			say("LIST\r\n", "1,2\r\n"), say("LIST\r\n", "1,2\r\n")))
		defer end(t, m)
		wantRead(t, m, "1-2 3-4")
		wantRead(t, m, "")
		if read, err := m.Read(context.Background()); !errors.Is(err, matrix.ErrNoAnswer) || read != nil {
			t.Errorf("without its end it was read as %v, %v", read, err)
		}
	})
}

// One output that cannot be understood is not known; the others are, and it can be
// switched.
func TestOneOutputThatIsNotUnderstood(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := drive(t, shipped.Named(t, "line-switch"), grid(4, 4, studio.Amplifiers), newFake(t,
			say("READ\n", "IS 1 2+3 0 4\n"), say("SET 2=2\n", "DONE\n"), say("READ\n", "IS 1 2 0 4\n")))
		defer end(t, m)
		read, err := m.Read(context.Background())
		var unclear *matrix.UnclearError
		if !errors.As(err, &unclear) || !strings.Contains(err.Error(), "out2 is unknown") || !strings.Contains(err.Error(), "2+3") {
			t.Fatal(err)
		}
		if diff := cmp.Diff([]name.Point{name.At("grid", "out", 2)}, unclear.Unclear()); diff != "" {
			t.Error(diff)
		}
		if diff := cmp.Diff(points("1-1 4-4"), read); diff != "" {
			t.Error(diff)
		}
		if err := m.Switch(context.Background(), points("2-1 2-3 2-4"), points("2-2")); err != nil {
			t.Error(err)
		}
		wantRead(t, m, "1-1 2-2 4-4")
	})
}

// Where one message has all of the answer, its end alone is none: the message was lost
// on the way.
func TestTheEndAloneIsNoAnswer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const whole = `{each: changes, none: NONE, separator: " ", of: [{number: output, base: decimal}, ",", {number: input, base: decimal}]}, "\r\n"], end: ["READY\r\n"]`
		d := described(t, strings.ReplaceAll(relays, "LIST]", whole))
		m := drive(t, d, grid(4, 4, studio.Contacts), newFake(t, say("LIST\r\n", "READY\r\n"), say("LIST\r\n", "READY\r\n"), say("LIST\r\n", "NONE\r\n", "READY\r\n")))
		defer end(t, m)
		if read, err := m.Read(context.Background()); !errors.Is(err, matrix.ErrNoAnswer) || read != nil {
			t.Errorf("read %v, %v", read, err)
		}
		wantRead(t, m, "")
	})
}
