package matrix_test

import (
	"context"
	"errors"
	"os"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/studio"
	"bayhand/simulators/leaks"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

// Answers that are lost, late, spoilt or in pieces: each ends in an error or in
// what the device said, never in a wrong belief.
func TestTroubleWithAnswers(t *testing.T) {
	const ask = "ROUT:CLOS:STAT?\n"
	late := func(want, answer string, after time.Duration) turn {
		return turn{want: want, after: after, say: []string{answer}}
	}
	tests := []struct {
		name  string
		turns []turn
		want  string // empty for ErrNoAnswer
	}{
		{"in pieces", []turn{in, say(ask, "#2", "10(@1!2,", "3!4)", "\n")}, "1-2 3-4"},
		{"a byte at a time, all of it longer than the timeout",
			[]turn{in, {want: ask, after: 400 * ms, say: strings.Split("#210(@1!2,3!4)\n", "")}}, "1-2 3-4"},
		{"lost once", []turn{in, say(ask), in, say(ask, "(@1!2)\n")}, "1-2"},
		{"late, and the second answer differs",
			[]turn{in, late(ask, "(@4!4)\n", 1500*ms), late("*OPC?\n", "1\n", 600*ms), say(ask, "(@1!2)\n")}, "1-2"},
		{"late by so much that the mark is lost as well",
			[]turn{in, late(ask, "(@4!4)\n", 2500*ms), say("*OPC?\n"), say(ask, "(@1!2)\n")}, "1-2"},
		{"spoilt once", []turn{in, say(ask, "(@?!?)\n"), in, say(ask, "(@1!2)\n")}, "1-2"},
		{"cut off and then whole", []turn{in, say(ask, "(@3!3,"), in, say(ask, "(@1!2)\n")}, "1-2"},
		{"a line that nothing explains before it", []turn{in, say(ask, "ready\n(@1!2)\n"), say(ask, "(@1!2)\n")}, "1-2"},
		{"noise without an end before the question", []turn{say("*OPC?\n", "1\n\x00\xff"), say(ask, "(@1!2)\n")}, "1-2"},
		{"an answer twice", []turn{in, say(ask, "(@1!2)\n(@1!2)\n"), say(ask, "(@1!2)\n")}, "1-2"},
		{"another answer after it", []turn{in, say(ask, "(@3!3)\n(@1!2)\n"), say(ask, "(@1!2)\n")}, "1-2"},
		{"never", []turn{in, say(ask), in, say(ask), in, say(ask)}, ""},
		{"nobody there at all", []turn{say("*OPC?\n"), say(ask), say("*OPC?\n")}, ""},
		{"the block counts more than comes", []turn{in, say(ask, "#299(@1!2)\n"), say("*OPC?\n", "1\n"), say(ask, "(@1!2)\n")}, "1-2"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				f := newFake(t, test.turns...)
				m := drive(t, shipped.Named(t, "scpi-switch"), grid(4, 4, studio.Contacts), f)
				defer end(t, m)
				if test.want != "" {
					wantRead(t, m, test.want)
					return
				}
				read, err := m.Read(context.Background())
				if !errors.Is(err, matrix.ErrNoAnswer) || read != nil {
					t.Errorf("read %v, %v, want no answer", read, err)
				}
				if err != nil && !strings.HasPrefix(err.Error(), "grid: read: asked 3 times: ") {
					t.Errorf("%v does not say how often it was asked", err)
				}
			})
		})
	}
}

// A change is never sent twice, and neither is the question for an error.
func TestChangesAreNotRepeated(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, in, noError, say("ROUT:CLOS (@1!1)\n"), in, say("SYST:ERR?\n"))
		m := drive(t, shipped.Named(t, "scpi-switch"), grid(4, 4, studio.Contacts), f)
		defer end(t, m)
		err := m.Switch(context.Background(), nil, points("1-1"))
		if !errors.Is(err, matrix.ErrNoAnswer) || !strings.Contains(err.Error(), "close out1 in1") {
			t.Error(err)
		}
	})
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, say("SET 1=2\n"))
		m := drive(t, shipped.Named(t, "line-switch"), grid(4, 4, studio.Amplifiers), f)
		defer end(t, m)
		if err := m.Switch(context.Background(), nil, points("1-2")); !errors.Is(err, matrix.ErrNoAnswer) {
			t.Error(err)
		}
	})
}

// A late word of thanks for the first change must not confirm the second.
func TestLateConfirmation(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t,
			turn{want: "SET 1=2\n", after: 1500 * ms, say: []string{"DONE\n"}},
			say("SET 2=2\n", "NO power\n"))
		m := drive(t, shipped.Named(t, "line-switch"), grid(4, 4, studio.Amplifiers), f)
		defer end(t, m)
		if err := m.Switch(context.Background(), nil, points("1-2")); !errors.Is(err, matrix.ErrNoAnswer) {
			t.Error(err)
		}
		if err := m.Switch(context.Background(), nil, points("2-2")); !errors.Is(err, matrix.ErrRefused) {
			t.Errorf("the second change gave %v, want its refusal", err)
		}
	})
}

func TestPulled(t *testing.T) {
	for name, turns := range map[string][]turn{
		"mid-message":    {in, {want: "ROUT:CLOS:STAT?\n", after: ms, say: []string{"#210(@1!2"}, gone: true}},
		"before it":      {{want: "*OPC?\n", after: ms, gone: true}},
		"while it waits": {in, {want: "ROUT:CLOS:STAT?\n", gone: true}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				f := newFake(t, turns...)
				m := drive(t, shipped.Named(t, "scpi-switch"), grid(4, 4, studio.Contacts), f)
				defer end(t, m)
				start := time.Now()
				for range 3 {
					if read, err := m.Read(context.Background()); !errors.Is(err, matrix.ErrGone) {
						t.Errorf("read %v, %v, want that the link is gone", read, err)
					}
				}
				if took := time.Since(start); took > 100*ms {
					t.Errorf("that took %v", took)
				}
			})
		})
	}
	t.Run("while nothing is asked", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			f := newFake(t)
			m := drive(t, shipped.Named(t, "scpi-switch"), grid(4, 4, studio.Contacts), f)
			defer end(t, m)
			close(f.pull)
			synctest.Wait()
			if _, err := m.Identify(context.Background()); !errors.Is(err, matrix.ErrGone) {
				t.Error(err)
			}
		})
	})
}

func TestCancelled(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, in, turn{want: "ROUT:CLOS:STAT?\n", after: 500 * ms, say: []string{"(@4!4)\n"}},
			in, say("ROUT:CLOS:STAT?\n", "(@1!2)\n"))
		m := drive(t, shipped.Named(t, "scpi-switch"), grid(4, 4, studio.Contacts), f)
		defer end(t, m)
		ctx, cancel := context.WithTimeout(context.Background(), 100*ms)
		defer cancel()
		if _, err := m.Read(ctx); !errors.Is(err, context.DeadlineExceeded) {
			t.Error(err)
		}
		wantRead(t, m, "1-2")
	})
}

func TestCancelledBefore(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := drive(t, shipped.Named(t, "midi-control-change"), grid(4, 4, studio.Amplifiers), newFake(t))
		defer end(t, m)
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		for range 20 { // whichever of two ready cases is taken
			if err := m.Switch(ctx, nil, points("1-1")); !errors.Is(err, context.Canceled) {
				t.Error(err)
			}
		}
	})
}

func TestClosed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, in, say("ROUT:CLOS:STAT?\n"))
		m := drive(t, shipped.Named(t, "scpi-switch"), grid(4, 4, studio.Contacts), f)
		waiting := make(chan error)
		go func() {
			_, err := m.Read(context.Background())
			waiting <- err
		}()
		time.Sleep(10 * ms) // of the bubble's clock
		end(t, m)
		end(t, m)
		if err := <-waiting; !errors.Is(err, os.ErrClosed) {
			t.Errorf("the question under way ended with %v", err)
		}
		if err := m.Switch(context.Background(), points("1-1"), nil); !errors.Is(err, os.ErrClosed) {
			t.Errorf("a question after it ended with %v", err)
		}
		if _, open := <-m.Reports(); open {
			t.Error("the reports go on")
		}
	})
}

func TestItTakesNoBytes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t)
		f.stuck = true
		m := drive(t, shipped.Named(t, "scpi-switch"), grid(4, 4, studio.Contacts), f)
		defer end(t, m)
		if _, err := m.Read(context.Background()); !errors.Is(err, matrix.ErrNoAnswer) || !strings.Contains(err.Error(), "takes no bytes") {
			t.Error(err)
		}
	})
}

func TestItNeverFallsSilent(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, say("READ\n"))
		m := drive(t, shipped.Named(t, "line-switch"), grid(4, 4, studio.Amplifiers), f)
		done := make(chan struct{})
		go func() {
			for {
				select {
				case <-time.After(300 * ms):
					f.says("tick\n")
				case <-done:
					return
				}
			}
		}()
		_, err := m.Read(context.Background())
		if !errors.Is(err, matrix.ErrNoAnswer) || !strings.Contains(err.Error(), "never falls silent") {
			t.Error(err)
		}
		close(done)
		end(t, m)
	})
}

// A device that echoes, and answers with a text that could be anything.
func TestEcho(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := shipped.Named(t, "scpi-switch")
		d.Echo = true
		noErrors := say("SYST:ERR?\n", "SYST:ERR?\r\n", "0,\"No error\"\r\n")
		done := say("*OPC?\n", "*OPC?\r\n1\r\n")
		f := newFake(t, done, noErrors, say("ROUT:CLOS (@1!1)\n", "ROUT:CLOS (@1!1)\r\n"), done, noErrors,
			say("*IDN?\n", "*IDN?\r\n", "Invented,Relays,0,0\r\n"))
		m := drive(t, d, grid(4, 4, studio.Contacts), f)
		defer end(t, m)
		if err := m.Switch(context.Background(), nil, points("1-1")); err != nil {
			t.Error(err)
		}
		if identity, err := m.Identify(context.Background()); err != nil || identity != "Invented,Relays,0,0" {
			t.Errorf("Identify = %q, %v", identity, err)
		}
	})
}

func TestNothingCanBeAsked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, turn{want: "\xB0\x66\x00"}, turn{want: "\xB0\x67\x05\x68\x06"})
		m := drive(t, shipped.Named(t, "midi-control-change"), grid(8, 8, studio.Amplifiers), f)
		defer end(t, m)
		if m.ReadsBack() {
			t.Error("it cannot be read back")
		}
		if _, err := m.Read(context.Background()); !errors.Is(err, matrix.ErrNoReadBack) {
			t.Error(err)
		}
		if identity, err := m.Identify(context.Background()); identity != "" || err != nil {
			t.Errorf("Identify = %q, %v", identity, err)
		}
		if err := m.Switch(context.Background(), points("1-4"), points("3-6 2-5")); err != nil {
			t.Error(err)
		}
		if got := f.sent[1].Sub(f.sent[0]); got < 20*ms {
			t.Errorf("the second message was sent after %v, before the first had settled", got)
		}
	})
}

func TestParametersAreChecked(t *testing.T) {
	for want, m := range map[string]studio.Matrix{
		"grid: scpi-switch has no parameter row": grid(4, 4, studio.Contacts, "row=inputs"),
		"at least one of its inputs":             grid(0, 4, studio.Contacts),
	} {
		if _, err := matrix.New(shipped.Named(t, "scpi-switch"), m, nil, matrix.SystemClock{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	if _, err := matrix.New(&device.Description{Name: "empty"}, grid(4, 4, studio.Contacts), nil, matrix.SystemClock{}); err == nil {
		t.Error("an empty description drives a matrix")
	}
}
