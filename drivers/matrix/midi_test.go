package matrix_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/drivers/matrix"
	"bayhand/drivers/message"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// midiTurn is a turn in hexadecimal, pp standing for the packet number n.
func midiTurn(n int, want string, say ...string) turn {
	number := fmt.Sprintf("%02X", n)
	t := turn{want: hexes(strings.ReplaceAll(want, "pp", number)), after: ms}
	for _, piece := range say {
		t.say = append(t.say, hexes(strings.ReplaceAll(piece, "pp", number)))
	}
	return t
}

// first is the first packet number in a bubble, whose clock begins at the same
// moment each time.
func first() int { return int((time.Now().UnixMilli() + 1) % 128) }

func TestMIDIExclusive(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := first()
		f := newFake(t,
			midiTurn(n, "F0 7E 10 06 01 F7", "F0 7E 10 06 02 7D 01 00 02 00 00 01 00 00 F7"),
			midiTurn(n+1, "F0 7D 10 01 pp 02 00 F7", "F0 7E 10 7F pp F7"),
			midiTurn(n+2, "F0 7D 10 01 pp 00 05 07 02 F7", "FE F0 7E F8 10 7F", "pp F7 FE"),
			midiTurn(n+3, "F0 7D 10 02 pp F7", "F0 7D 10 42 pp 05 00 00 00 00 00 00 02 F7"))
		m := drive(t, shipped.Named(t, "midi-exclusive"), grid(8, 8, studio.Amplifiers), f)
		defer end(t, m)
		if identity, err := m.Identify(context.Background()); err != nil || identity != "01 00 02 00 00 01 00 00" {
			t.Errorf("Identify = %q, %v", identity, err)
		}
		// Output 1 goes from one input to the other in one message.
		if err := m.Switch(context.Background(), points("1-1 3-3"), points("1-5 8-2")); err != nil {
			t.Error(err)
		}
		wantRead(t, m, "1-5 8-2")
	})
}

// A matrix of relays lets go of an output before it takes the next input.
func TestContactsLetGoFirst(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := first()
		f := newFake(t,
			midiTurn(n, "F0 7D 10 01 pp 00 00 F7", "F0 7E 10 7F pp F7"),
			midiTurn(n+1, "F0 7D 10 01 pp 00 05 F7", "F0 7E 10 7F pp F7"))
		m := drive(t, shipped.Named(t, "midi-exclusive"), grid(8, 8, studio.Contacts), f)
		defer end(t, m)
		if err := m.Switch(context.Background(), points("1-1 1-2"), points("1-5")); err != nil {
			t.Error(err)
		}
		if err := m.Switch(context.Background(), nil, points("1-5 1-6")); err == nil {
			t.Error("an output was to listen to two inputs")
		}
	})
}

func TestMIDIPacketNumbers(t *testing.T) {
	tests := []struct {
		name  string
		turns func(n int) []turn
		want  string
	}{
		{"an old dump comes first", func(n int) []turn {
			return []turn{midiTurn(n, "F0 7D 10 02 pp F7",
				fmt.Sprintf("F0 7D 10 42 %02X 01 01 F7", n-1), "F0 7D 10 42 pp 00 02 F7")}
		}, "2-2"},
		{"a late dump comes when the next is due", func(n int) []turn {
			late := midiTurn(n, "F0 7D 10 02 pp F7", "F0 7D 10 42 pp 01 01 F7")
			late.after = 1200 * ms
			next := midiTurn(n+1, "F0 7D 10 02 pp F7", "F0 7D 10 42 pp 00 02 F7")
			next.after = 500 * ms
			return []turn{late, next}
		}, "2-2"},
		{"an old refusal comes first", func(n int) []turn {
			return []turn{midiTurn(n, "F0 7D 10 02 pp F7",
				fmt.Sprintf("F0 7E 10 7E %02X F7", n-1), "F0 7D 10 42 pp 00 02 F7")}
		}, "2-2"},
		{"another unit answers", func(n int) []turn {
			return []turn{midiTurn(n, "F0 7D 10 02 pp F7", "F0 7D 11 42 pp 01 01 F7", "F0 7D 10 42 pp 00 02 F7")}
		}, "2-2"},
		{"a byte is lost, then it is whole", func(n int) []turn {
			return []turn{midiTurn(n, "F0 7D 10 02 pp F7", "F0 7D 10 42 pp 00 F7"),
				midiTurn(n+1, "F0 7D 10 02 pp F7", "F0 7D 10 42 pp 00 02 F7")}
		}, "2-2"},
		{"the end is lost, and a clock runs", func(n int) []turn {
			return []turn{midiTurn(n, "F0 7D 10 02 pp F7", "F0 7D 10 42 pp 00 02 F8 F8"),
				midiTurn(n+1, "F0 7D 10 02 pp F7", "F0 7D 10 42 pp 00 02 F7")}
		}, "2-2"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				m := drive(t, shipped.Named(t, "midi-exclusive"), grid(2, 2, studio.Amplifiers), newFake(t, test.turns(first())...))
				defer end(t, m)
				wantRead(t, m, test.want)
			})
		})
	}
}

func TestMIDISizeDiffers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := first()
		var turns []turn
		for i := range 3 {
			turns = append(turns, midiTurn(n+i, "F0 7D 10 02 pp F7", "F0 7D 10 42 pp 01 02 00 F7"))
		}
		m := drive(t, shipped.Named(t, "midi-exclusive"), grid(2, 2, studio.Amplifiers), newFake(t, turns...))
		defer end(t, m)
		if read, err := m.Read(context.Background()); !errors.Is(err, message.ErrValue) {
			t.Errorf("three outputs of a matrix of two were read as %v, %v", read, err)
		}
	})
}

func TestMIDIRefuses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, midiTurn(first(), "F0 7D 10 01 pp 00 02 F7", "F0 7E 10 7E pp F7"))
		m := drive(t, shipped.Named(t, "midi-exclusive"), grid(2, 2, studio.Amplifiers), f)
		defer end(t, m)
		if err := m.Switch(context.Background(), nil, points("1-2")); !errors.Is(err, matrix.ErrRefused) {
			t.Error(err)
		}
	})
}

func TestReports(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := first()
		f := newFake(t, midiTurn(n, "F0 7D 10 02 pp F7", "F0 7D 10 43 02 01 F7", "F0 7D 10 42 pp 00 00 01 00 F7"))
		m := drive(t, shipped.Named(t, "midi-exclusive"), grid(4, 4, studio.Amplifiers), f)
		defer end(t, m)
		report := func(want matrix.Report) {
			t.Helper()
			synctest.Wait()
			if diff := cmp.Diff(want, <-m.Reports()); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
		}
		f.says(hexes("F0 7D 10 43 00 02 03 00 F7"))
		report(matrix.Report{Closed: points("1-2"), Off: outs(4)})
		// Nobody takes these in time; the later word on output 1 holds.
		f.says(hexes("F0 7D 10 43 00 02 01 03 F7 F0 7D 10 43 00 00 F7"))
		report(matrix.Report{Closed: points("2-3"), Off: outs(1)})
		// One comes while an answer is awaited.
		wantRead(t, m, "3-1")
		report(matrix.Report{Closed: points("3-1")})

		f.says(hexes("F0 7D 10 43 00 09 F7"))
		synctest.Wait()
		if r := <-m.Reports(); !errors.Is(r.Err, message.ErrValue) {
			t.Errorf("input 9 of 4 was reported as %v", r)
		}
	})
}

func outs(numbers ...int) (list []name.Point) {
	for _, n := range numbers {
		list = append(list, grid(1, n, studio.Amplifiers).Out(n))
	}
	return list
}

func TestReadSaysOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		f := newFake(t, say("READ\n", "IS 0 0\n"))
		m := drive(t, shipped.Named(t, "line-switch"), grid(2, 2, studio.Amplifiers), f)
		defer end(t, m)
		read, err := m.Read(context.Background())
		if err != nil || len(read) != 0 {
			t.Errorf("read %v, %v", read, err)
		}
	})
}

// MIDI 1.0, universal handshakes: WAIT (7C) holds an answer back for longer than
// anybody would wait, and ACK (7F) ends it; CANCEL (7D) from the device gives the
// change up, and nothing is sent twice.
func TestMIDIWaitAndCancel(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := first()
		d := shipped.Named(t, "midi-exclusive")
		slow := midiTurn(n, "F0 7D 10 01 pp 00 02 F7", "F0 7E 10 7C pp F7", "F0 7E 10 7C pp F7", "F0 7E 10 7F pp F7")
		slow.after = time.Duration(d.Pacing.Timeout) * time.Millisecond * 9 / 10
		f := newFake(t, slow,
			midiTurn(n+1, "F0 7D 10 01 pp 01 01 F7", "F0 7E 10 7C pp F7", "F0 7E 10 7D pp F7"))
		m := drive(t, d, grid(2, 2, studio.Amplifiers), f)
		defer end(t, m)
		if err := m.Switch(context.Background(), nil, points("1-2")); err != nil {
			t.Errorf("after WAIT and ACK: %v", err)
		}
		err := m.Switch(context.Background(), nil, points("2-1"))
		if !errors.Is(err, matrix.ErrRefused) || !strings.Contains(err.Error(), "gave up") {
			t.Errorf("after CANCEL: %v", err)
		}
	})
}

// MIDI 1.0, universal handshakes: who no longer waits for an answer says CANCEL
// (7D) with the packet's number.
func TestMIDICancelIsSent(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := first()
		f := newFake(t, midiTurn(n, "F0 7D 10 01 pp 00 02 F7", "F0 7E 10 7C pp F7"), midiTurn(n, "F0 7E 10 7D pp F7"))
		m := drive(t, shipped.Named(t, "midi-exclusive"), grid(2, 2, studio.Amplifiers), f)
		defer end(t, m)
		ctx, cancel := context.WithTimeout(context.Background(), 100*ms)
		defer cancel()
		if err := m.Switch(ctx, nil, points("1-2")); !errors.Is(err, context.DeadlineExceeded) {
			t.Error(err)
		}
	})
}
