package panel

import (
	"bufio"
	"context"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"bayhand/simulators/leaks"
	"bayhand/simulators/line"
	"bayhand/simulators/matrix"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

func made(t interface{ Fatal(...any) }, kind matrix.Kind, outputs, inputs int, f matrix.Faults) (*Panel, *matrix.Matrix) {
	m, err := matrix.New(kind, outputs, inputs, f)
	if err != nil {
		t.Fatal(err)
	}
	return New(m, "grid"), m
}

func TestDraw(t *testing.T) {
	p, m := made(t, matrix.Contacts, 3, 10, matrix.Faults{})
	if err := m.Close(matrix.Line, matrix.Crosspoint{Output: 1, Input: 2}, matrix.Crosspoint{Output: 3, Input: 10}); err != nil {
		t.Fatal(err)
	}
	p.Press(Down)
	p.Press(Right)
	p.Heard(line.Traffic{Received: true, Bytes: []byte("CLOS (@1!2,")})
	p.Heard(line.Traffic{Received: true, Bytes: []byte("3!10)\n")})
	p.Heard(line.Traffic{Received: true, Bytes: []byte("*OPC?\n")})
	p.Heard(line.Traffic{Received: false, Bytes: []byte("1\n")})
	p.Heard(line.Traffic{Received: true, Bytes: []byte{0xF0, 0x7D, 0xF7}})
	got := p.Draw(60, 20)
	want := []string{
		"grid",
		"       1   2   3   4   5   6   7   8   9  10",
		"out1   .   X   .   .   .   .   .   .   .   .",
		"out2   .  [.]  .   .   .   .   .   .   .   .",
		"out3   .   .   .   .   .   .   .   .   .   X",
		"",
		`< "CLOS (@1!2,3!10)\n"`,
		`< "*OPC?\n"`,
		`> "1\n"`,
		"< F0 7D F7",
		"",
		help,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// A matrix larger than the screen is shown around the cursor.
func TestDrawOnASmallScreen(t *testing.T) {
	p, _ := made(t, matrix.Contacts, 100, 100, matrix.Faults{})
	for range 49 {
		p.Press(Down)
		p.Press(Right)
	}
	got := strings.Join(p.Draw(30, 11), "\n")
	if !strings.Contains(got, "out50") || !strings.Contains(got, "[.]") || strings.Contains(got, "out47 ") {
		t.Errorf("drawn:\n%s", got)
	}
}

func TestDrawFitsAnyScreen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, m := made(t, matrix.Contacts, rapid.IntRange(1, 120).Draw(t, "outputs"), rapid.IntRange(1, 120).Draw(t, "inputs"), matrix.Faults{})
		for _, k := range rapid.SliceOf(rapid.SampledFrom([]Key{Up, Down, Left, Right, Turn, OpenAll, KeyUnknown})).Draw(t, "keys") {
			p.Press(k)
		}
		for _, b := range rapid.SliceOf(rapid.SliceOf(rapid.Byte())).Draw(t, "heard") {
			p.Heard(line.Traffic{Received: len(b)%2 == 0, Bytes: b})
		}
		width, height := rapid.IntRange(1, 100).Draw(t, "width"), rapid.IntRange(1, 50).Draw(t, "height")
		lines := p.Draw(width, height)
		if len(lines) > height {
			t.Fatalf("%d lines on a screen of %d", len(lines), height)
		}
		for _, line := range lines {
			if len([]rune(line)) > width || strings.ContainsAny(line, "\x1b\n\r") {
				t.Fatalf("%q on a screen %d wide", line, width)
			}
		}
		if !m.Has(p.cursor) {
			t.Fatalf("the cursor is at %s", p.cursor)
		}
	})
}

func TestKeysTurnCrosspoints(t *testing.T) {
	at := matrix.Crosspoint{Output: 1, Input: 1}
	p, m := made(t, matrix.Contacts, 2, 2, matrix.Faults{Stuck: []matrix.Crosspoint{{Output: 2, Input: 1}}})
	p.Press(Turn)
	if !m.Closed(at) {
		t.Error("the first turn does not close")
	}
	p.Press(Turn)
	if m.Closed(at) {
		t.Error("the second turn does not open")
	}
	p.Press(Down)
	p.Press(Turn)
	if note := p.Draw(80, 24); note[len(note)-2] != "out2:in1 does not move" {
		t.Errorf("of a stuck crosspoint it says %q", note)
	}
	p.Press(Right)
	p.Press(Turn)
	p.Press(OpenAll)
	if len(m.State()) != 0 {
		t.Errorf("all were opened, and %v are closed", m.State())
	}
	for _, e := range m.History(0) {
		if e.By != matrix.Front {
			t.Errorf("%v by %s", e.Crosspoint, e.By)
		}
	}
	if p.Press(Leave) || !p.Press(KeyUnknown) {
		t.Error("one key leaves, the others don't")
	}
}

func TestKeysOfATerminal(t *testing.T) {
	// Cursor keys as terminals send them (ECMA-48, 8.3.22 for CUU and its kin, and
	// the application mode's O; common practice).
	for sent, want := range map[string][]Key{
		"\x1b[A\x1b[B\x1b[C\x1b[D":               {Up, Down, Right, Left},
		"\x1bOA\x1bOD":                           {Up, Left},
		"kjhl \ro":                               {Up, Down, Left, Right, Turn, Turn, OpenAll},
		"\x1b[1;5A\x1b[5~x":                      {Up, KeyUnknown, KeyUnknown},
		"\x1bq":                                  {Leave},
		"\x1b\x1b[A":                             {Up},
		"\x03":                                   {Leave},
		"\x1b[" + strings.Repeat("1", 100) + "q": nil,
	} {
		var k keys
		var got []Key
		for i := range len(sent) {
			if key, whole := k.add(sent[i]); whole {
				got = append(got, key)
			}
		}
		if want == nil {
			if len(k.begun) > longestSequence {
				t.Errorf("%d bytes of a sequence are held", len(k.begun))
			}
			continue
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%q: %s", sent, diff)
		}
	}
}

func TestType(t *testing.T) {
	p, m := made(t, matrix.Contacts, 4, 4, matrix.Faults{})
	for _, c := range []struct{ line, answer string }{
		{"show", "closed: none"},
		{"json", `{"kind":"contacts","inputs":4,"outputs":4,"closed":[]}`},
		{"out3 in4", "closed: out3:in4"},
		{"out3 in2", "closed: out3:in2"},
		{"close out3:in1", "closed: out3:in1 out3:in2"},
		{"  open   out3:in2 ", "closed: out3:in1"},
		{"close out1:in1", "closed: out1:in1 out3:in1"},
		{"out3 off", "closed: out1:in1"},
		{"open all", "closed: none"},
		{"out5 in1", "out5 is outside the matrix of 4 outputs"},
		{"close out1:in5", "out1:in5 is outside the matrix of 4 inputs and 4 outputs"},
		{"out1 in", `"out1:in" is not a crosspoint; write an output and an input, such as out3:in5`},
		{"open out1", `"out1" is not a crosspoint; write an output and an input, such as out3:in5`},
		{"in1 off", `"in1:in1" is not a crosspoint; write an output and an input, such as out3:in5`},
	} {
		if got := p.Type(c.line); got != c.answer {
			t.Errorf("%q is answered with %q, not %q", c.line, got, c.answer)
		}
	}
	for _, line := range []string{"", "shows", "close", "one two three"} {
		if got := p.Type(line); !strings.Contains(got, Words) {
			t.Errorf("%q is answered with %q", line, got)
		}
	}
	if len(m.State()) != 0 {
		t.Errorf("closed are %v", m.State())
	}
}

// What programs read: the state, then one line for each change, whoever made it.
func TestFollow(t *testing.T) {
	p, m := made(t, matrix.Contacts, 4, 4, matrix.Faults{})
	in, typed := io.Pipe()
	told, out := io.Pipe()
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error)
	go func() { ended <- p.Follow(ctx, in, out) }()
	lines := bufio.NewScanner(told)
	wants := func(want string) {
		t.Helper()
		if !lines.Scan() || lines.Text() != want {
			t.Errorf("%q is told, not %q", lines.Text(), want)
		}
	}
	types := func(line string) {
		if _, err := io.WriteString(typed, line+"\n"); err != nil {
			t.Fatal(err)
		}
	}
	wants(`{"kind":"contacts","inputs":4,"outputs":4,"closed":[]}`)
	types("out3 in4")
	wants(`{"kind":"contacts","inputs":4,"outputs":4,"closed":[{"output":"out3","input":"in4"}]}`)
	if err := m.Close(matrix.Line, matrix.Crosspoint{Output: 1, Input: 2}); err != nil {
		t.Fatal(err)
	}
	wants(`{"kind":"contacts","inputs":4,"outputs":4,"closed":[{"output":"out1","input":"in2"},{"output":"out3","input":"in4"}]}`)
	types("out9 in1")
	wants(`{"error":"out9 is outside the matrix of 4 outputs"}`)
	types("open all")
	wants(`{"kind":"contacts","inputs":4,"outputs":4,"closed":[]}`)
	types("show")
	wants(`{"kind":"contacts","inputs":4,"outputs":4,"closed":[]}`)
	typed.Close()
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

func FuzzKeys(f *testing.F) {
	f.Add([]byte("\x1b[A\x1bOB hjkl\ro"), 20, 10)
	f.Fuzz(func(t *testing.T, sent []byte, width, height int) {
		p, m := made(t, matrix.Contacts, 5, 7, matrix.Faults{})
		var k keys
		for _, b := range sent {
			if key, whole := k.add(b); whole && !p.Press(key) {
				break
			}
			p.Heard(line.Traffic{Received: b&1 == 0, Bytes: []byte{b}})
		}
		p.Type(string(sent))
		if !m.Has(p.cursor) || len(k.begun) > longestSequence || len(p.heard) > keptTraffic {
			t.Fatalf("cursor %s, %d bytes and %d passages held", p.cursor, len(k.begun), len(p.heard))
		}
		p.Draw(width, height)
	})
}
