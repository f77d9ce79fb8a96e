package matrix_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/drivers/matrix"
	"bayhand/drivers/message"
	"bayhand/model/studio"
)

const ms = time.Millisecond

// in is the first question on a new link: it marks where old answers end.
var in = turn{want: "*OPC?\n", after: ms, say: []string{"1\n"}}

var noError = turn{want: "SYST:ERR?\n", after: ms, say: []string{"0,\"No error\"\n"}}

func say(want string, say ...string) turn { return turn{want: want, after: ms, say: say} }

func TestSCPI(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx := context.Background()
		f := newFake(t, in, say("*IDN?\n", "Invented,Relays,0,0\n"),
			say("ROUT:CLOS:STAT?\n", "#216(@1!1,2!3,10!12)\n"),
			noError,
			say("ROUT:OPEN (@1!1)\n"), in, noError,
			say("ROUT:CLOS (@1!2,3!4)\n"), in, noError,
			say("ROUT:CLOS:STAT?\n", "(@1!2,3!4)\r\n"),
		)
		m := drive(t, shipped.Named(t, "scpi-switch"), grid(16, 16, studio.Contacts), f)
		defer end(t, m)
		if !m.ReadsBack() {
			t.Error("it can be read back")
		}
		if identity, err := m.Identify(ctx); err != nil || identity != "Invented,Relays,0,0" {
			t.Errorf("Identify = %q, %v", identity, err)
		}
		wantRead(t, m, "1-1 2-3 10-12")
		if err := m.Switch(ctx, points("1-1"), points("3-4 1-2 3-4")); err != nil {
			t.Error(err)
		}
		wantRead(t, m, "1-2 3-4")
	})
}

func wantRead(t *testing.T, m *matrix.Matrix, pairs string) {
	t.Helper()
	read, err := m.Read(context.Background())
	if err != nil {
		t.Error(err)
	}
	if diff := cmp.Diff(points(pairs), read); diff != "" {
		t.Errorf("-want +read\n%s", diff)
	}
}

func TestRowsAreInputs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, in, noError, say("ROUT:CLOS (@5!2)\n"), in, noError, say("ROUT:CLOS:STAT?\n", "#16(@5!2)\n"))
		m := drive(t, shipped.Named(t, "scpi-switch"), grid(16, 16, studio.Contacts, "rows=inputs"), f)
		defer end(t, m)
		if err := m.Switch(context.Background(), nil, points("2-5")); err != nil {
			t.Error(err)
		}
		wantRead(t, m, "2-5")
	})
}

func TestBatches(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := shipped.Named(t, "scpi-switch")
		d.Exchanges[2].Batch, d.Exchanges[1].Batch = 2, 2
		f := newFake(t, in, noError,
			say("ROUT:OPEN (@1!1,1!2)\n"), in, noError, say("ROUT:OPEN (@1!3)\n"), in, noError,
			say("ROUT:CLOS (@2!1,2!2)\n"), in, noError, say("ROUT:CLOS (@2!3)\n"), in, noError)
		m := drive(t, d, grid(4, 4, studio.Contacts), f)
		defer end(t, m)
		if err := m.Switch(context.Background(), points("1-3 1-1 1-2"), points("2-3 2-2 2-1")); err != nil {
			t.Error(err)
		}
		if err := m.Switch(context.Background(), nil, nil); err != nil {
			t.Error(err)
		}
	})
}

// What was to be opened was not: nothing is closed after it. Errors of earlier
// days are not taken for an answer to this.
func TestRefused(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, in,
			say("SYST:ERR?\n", "-113,\"Undefined header\"\n"), noError,
			say("ROUT:OPEN (@1!1)\n"), in,
			say("SYST:ERR?\n", "-222,\"Data out of range;(@1!1)\"\n"),
			say("SYST:ERR?\n", "-221,\"Settings conflict\"\n"), noError)
		m := drive(t, shipped.Named(t, "scpi-switch"), grid(4, 4, studio.Contacts), f)
		defer end(t, m)
		err := m.Switch(context.Background(), points("1-1"), points("1-2"))
		if !errors.Is(err, matrix.ErrRefused) || errors.Is(err, matrix.ErrNoAnswer) {
			t.Fatalf("%v, want a refusal", err)
		}
		for _, want := range []string{"grid: switch: open out1 in1", "-222, Data out of range", "-221, Settings conflict"} {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%v does not say %q", err, want)
			}
		}
	})
}

func TestErrorsWithoutEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		turns := []turn{in}
		for range 100 {
			turns = append(turns, say("SYST:ERR?\n", "-350,\"Queue overflow\"\n"))
		}
		m := drive(t, shipped.Named(t, "scpi-switch"), grid(4, 4, studio.Contacts), newFake(t, turns...))
		defer end(t, m)
		err := m.Switch(context.Background(), points("1-1"), nil)
		if !errors.Is(err, matrix.ErrNoAnswer) || !strings.Contains(err.Error(), "never end") {
			t.Error(err)
		}
	})
}

func TestSwitchRefusesWhatIsNotThere(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := grid(4, 2, studio.Contacts)
		g.Missing = []studio.Absent{{Output: g.Out(2), Input: g.In(4)}}
		m := drive(t, shipped.Named(t, "scpi-switch"), g, newFake(t))
		defer end(t, m)
		other := points("1-1")
		other[0].Output.Owner = "far"
		for want, close := range map[string]string{
			"no output of grid": "3-1", "no input of grid": "1-5", "no crosspoint of": "2-4",
		} {
			if err := m.Switch(context.Background(), nil, points(close)); err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("closing %s: %v", close, err)
			}
		}
		if err := m.Switch(context.Background(), other, nil); err == nil {
			t.Error("a crosspoint of another matrix was opened")
		}
		if err := m.Switch(context.Background(), points("1-1"), points("1-1")); err == nil {
			t.Error("one crosspoint was opened and closed at once")
		}
	})
}

// An answer that names what the matrix does not have says that somebody is
// wrong about the matrix; it is asked for again, in case a byte was lost, and
// never passed over.
func TestAnswerOutsideTheMatrix(t *testing.T) {
	for answer, missing := range map[string]bool{"(@1!1,5!1)\n": false, "(@1!5)\n": false, "#16(@2!4)\n": true} {
		synctest.Test(t, func(t *testing.T) {
			g := grid(4, 4, studio.Contacts)
			var turns []turn
			tries := 3
			if missing {
				g.Missing = []studio.Absent{{Output: g.Out(2), Input: g.In(4)}}
				tries = 1
			}
			for range tries {
				// What made no sense may have been a stray, so the mark is asked for
				// before each try.
				turns = append(turns, in, say("ROUT:CLOS:STAT?\n", answer))
			}
			m := drive(t, shipped.Named(t, "scpi-switch"), g, newFake(t, turns...))
			defer end(t, m)
			read, err := m.Read(context.Background())
			if !errors.Is(err, message.ErrValue) || read != nil {
				t.Errorf("%q was read as %v, %v", answer, read, err)
			}
		})
	}
}

func TestPacing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := shipped.Named(t, "scpi-switch")
		d.Pacing.Gap, d.Pacing.Settle = 50, 300
		f := newFake(t, in, noError, say("ROUT:CLOS (@1!1)\n"), in, noError)
		m := drive(t, d, grid(4, 4, studio.Contacts), f)
		defer end(t, m)
		if err := m.Switch(context.Background(), nil, points("1-1")); err != nil {
			t.Error(err)
		}
		want := []time.Duration{50 * ms, 50 * ms, 300 * ms, 50 * ms}
		for i, d := range want {
			if got := f.sent[i+1].Sub(f.sent[i]); got != d {
				t.Errorf("message %d was sent %v after the one before, want %v", i+2, got, d)
			}
		}
	})
}
