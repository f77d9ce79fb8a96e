package scpi

import (
	"bytes"
	"runtime"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bayhand/simulators/matrix"
)

// IEEE 488.2, 7.7.6.2: a line feed inside a definite-length block is data.
func TestLineFeedsInsideBlocks(t *testing.T) {
	s, _ := switcher(t, RowsAreOutputs, 2, 2, matrix.Faults{})
	say(s, "*CLS\n")
	if got := say(s, "CLOS #13a\r\n\nSYST:ERR:NEXT?;COUN?\n"); got != "-104,\"Data type error\";0\n" {
		t.Errorf("got %q", got)
	}
	// A number sign in a string begins no block.
	if got := say(s, "CLOS \"#19\"\nSYST:ERR?\n"); got != "-104,\"Data type error\"\n" {
		t.Errorf("got %q", got)
	}
}

// A peer that floods gets an error and no memory.
func TestFloods(t *testing.T) {
	for _, flood := range []string{"A", "#9999999999", "\"", "(", ";", "#0", ":"} {
		s, _ := switcher(t, RowsAreOutputs, 2, 2, matrix.Faults{})
		say(s, "*CLS\n")
		piece := []byte(strings.Repeat(flood, 4096/len(flood)))
		for range 2 * InputBuffer / len(piece) * 4 {
			s.Receive(piece)
		}
		if held := cap(s.frame.buffer); held > 2*InputBuffer {
			t.Errorf("%q: %d bytes are held", flood, held)
		}
		if got := say(s, "\nSYST:ERR:NEXT?;COUN?\n"); got != "-363,\"Input buffer overrun\";0\n" {
			t.Errorf("%q: %q", flood, got)
		}
	}
}

// A message at the very limit is still carried out.
func TestTheLongestMessage(t *testing.T) {
	s, _ := switcher(t, RowsAreOutputs, 2, 2, matrix.Faults{})
	if got := say(s, strings.Repeat(" ", InputBuffer-len("*OPC?"))+"*OPC?\n"); got != "1\n" {
		t.Errorf("at the limit: %q", got)
	}
	if got := say(s, "*CLS\n"+strings.Repeat(" ", InputBuffer-len("*OPC?")+1)+"*OPC?\nSYST:ERR?\n"); got != "-363,\"Input buffer overrun\"\n" {
		t.Errorf("over the limit: %q", got)
	}
}

// IEEE 488.2, 6.3.1.7: answers that nobody can hold are thrown away.
func TestAnswersBeyondTheOutputQueue(t *testing.T) {
	s, _ := switcher(t, RowsAreOutputs, 256, 256, matrix.Faults{})
	say(s, "*CLS\n")
	one := 2 * MaxChannels // bytes of an answer about every channel, with its separator
	fits := OutputQueue / one
	ask := "CLOS? (@1!1:256!256);"
	if got := say(s, strings.Repeat(ask, fits)+"\n"); len(got) != fits*one {
		t.Errorf("%d bytes come back", len(got))
	}
	if got := say(s, strings.Repeat(ask, 1000)+"\nSYST:ERR:NEXT?;COUN?\n"); got != "-430,\"Query DEADLOCKED\";0\n" {
		t.Errorf("%.80q", got)
	}
}

// How the bytes are cut makes no difference.
func TestCutsMakeNoDifference(t *testing.T) {
	var all strings.Builder
	for _, c := range conversations {
		all.WriteString(c.sent)
	}
	whole, _ := switcher(t, RowsAreOutputs, 16, 16, matrix.Faults{})
	want := say(whole, all.String())
	rapid.Check(t, func(r *rapid.T) {
		s, _ := switcher(t, RowsAreOutputs, 16, 16, matrix.Faults{})
		var got strings.Builder
		for rest := all.String(); rest != ""; {
			n := rapid.IntRange(1, len(rest)).Draw(r, "bytes")
			got.WriteString(say(s, rest[:n]))
			rest = rest[n:]
		}
		if got.String() != want {
			r.Fatalf("cut in pieces it answers %q", got.String())
		}
	})
}

func FuzzReceive(f *testing.F) {
	for _, c := range conversations {
		f.Add([]byte(c.sent))
	}
	for _, c := range mistakes {
		f.Add([]byte(c.sent + "\n"))
	}
	f.Fuzz(func(t *testing.T, p []byte) {
		whole, m := switcher(t, RowsAreOutputs, 16, 16, matrix.Faults{})
		single, n := switcher(t, RowsAreOutputs, 16, 16, matrix.Faults{})
		var a, b bytes.Buffer
		for _, r := range whole.Receive(p) {
			a.Write(r)
			if len(r) < 2 || r[len(r)-1] != terminator {
				t.Fatalf("a response message of %q", r)
			}
		}
		for i := range p {
			for _, r := range single.Receive(p[i : i+1]) {
				b.Write(r)
			}
		}
		if a.String() != b.String() {
			t.Fatalf("whole it answers %q, byte by byte %q", a.String(), b.String())
		}
		if len(m.State()) != len(n.State()) {
			t.Fatalf("whole it closes %v, byte by byte %v", m.State(), n.State())
		}
		if len(whole.errors.faults) > queueDepth || len(whole.frame.buffer) > InputBuffer {
			t.Fatalf("%d errors and %d bytes are held", len(whole.errors.faults), len(whole.frame.buffer))
		}
		// Whatever came, a new link finds a device that answers.
		whole.Clear()
		if got := say(whole, "*OPC?\n"); got != "1\n" {
			t.Fatalf("afterwards *OPC? brings %q", got)
		}
	})
}

func FuzzChannels(f *testing.F) {
	for _, text := range []string{"(@1!1)", "(@1!2,3!1:4!2)", "(@1,2!5:3!6!7)", "(@)", "(@1!1:256!256,1!1)", "(@01!+1)"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		has := func(c matrix.Crosspoint) bool {
			return c.Output >= 1 && c.Output <= 300 && c.Input >= 1 && c.Input <= 300
		}
		list, err := RowsAreInputs.Channels(text, has)
		if len(list) > MaxChannels || err != nil && list != nil {
			t.Fatalf("%d channels and %v", len(list), err)
		}
		if err != nil {
			return
		}
		for _, c := range list {
			if !has(c) {
				t.Fatalf("%s holds %s, which is outside", text, c)
			}
		}
		if len(list) == 0 {
			t.Fatalf("%s reads as no channel", text)
		}
	})
}

// Thousands of messages leave no more behind than one.
func TestNothingGrows(t *testing.T) {
	s, _ := switcher(t, RowsAreOutputs, 4, 4, matrix.Faults{})
	messages := []byte(strings.Repeat("CLOS (@1!1);XYZ\nOPEN (@1!1);CLOS:STAT?\n*CLS\n", 100))
	s.Receive(messages)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	for range 50 {
		s.Receive(messages)
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	// The matrix remembers a bounded history; allow for that and no more.
	if grown := int64(after.HeapAlloc) - int64(before.HeapAlloc); grown > 1<<20 {
		t.Errorf("%d bytes more are held", grown)
	}
	runtime.KeepAlive(s)
}
