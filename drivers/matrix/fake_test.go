package matrix_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// turn is one message that a fake link expects, and what comes back.
type turn struct {
	want string
	// say is sent back after a while, in pieces with the same while between.
	after time.Duration
	say   []string
	// gone pulls the plug after that.
	gone bool
}

// fakeLink is a link that knows the conversation beforehand. It fails the test
// on bytes that were not expected, and on turns that did not take place.
type fakeLink struct {
	t     *testing.T
	in    chan []byte
	pull  chan struct{}
	done  chan struct{}
	once  sync.Once
	plays sync.WaitGroup

	// mu guards the fields below.
	mu    sync.Mutex
	turns []turn
	rest  []byte
	sent  []time.Time
	stuck bool
}

func newFake(t *testing.T, turns ...turn) *fakeLink {
	return &fakeLink{t: t, turns: turns, in: make(chan []byte, 100), pull: make(chan struct{}), done: make(chan struct{})}
}

func (f *fakeLink) Read(p []byte) (int, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for len(f.rest) == 0 {
		f.mu.Unlock()
		var more []byte
		var err error
		select {
		case more = <-f.in:
		case <-f.pull:
			err = fmt.Errorf("fake: %w (input/output error)", matrix.ErrGone)
		case <-f.done:
			err = os.ErrClosed
		}
		f.mu.Lock()
		if err != nil {
			return 0, err
		}
		f.rest = more
	}
	n := copy(p, f.rest)
	f.rest = f.rest[n:]
	return n, nil
}

func (f *fakeLink) Write(p []byte) (int, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.sent = append(f.sent, time.Now())
	if f.stuck {
		return 0, os.ErrDeadlineExceeded
	}
	select {
	case <-f.pull:
		return 0, fmt.Errorf("fake: %w", matrix.ErrGone)
	default:
	}
	if len(f.turns) == 0 {
		f.t.Errorf("%q was sent, nothing more was expected", p)
		return len(p), nil
	}
	next := f.turns[0]
	f.turns = f.turns[1:]
	if string(p) != next.want {
		f.t.Errorf("%q was sent, %q was expected", p, next.want)
	}
	f.plays.Go(func() { f.play(next) })
	return len(p), nil
}

func (f *fakeLink) play(next turn) {
	for _, piece := range next.say {
		f.wait(next.after)
		f.in <- []byte(piece)
	}
	if next.gone {
		f.wait(next.after + time.Millisecond)
		close(f.pull)
	}
}

func (f *fakeLink) wait(d time.Duration) {
	select {
	case <-time.After(d):
	case <-f.done:
	}
}

// says has the device say something by itself.
func (f *fakeLink) says(text string) { f.in <- []byte(text) }

func (f *fakeLink) SetReadDeadline(time.Time) error  { return nil }
func (f *fakeLink) SetWriteDeadline(time.Time) error { return nil }
func (f *fakeLink) String() string                   { return "fake:" }

func (f *fakeLink) Close() error {
	f.once.Do(func() { close(f.done) })
	f.plays.Wait()
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, t := range f.turns {
		f.t.Errorf("%q was expected and never sent", t.want)
	}
	return nil
}

// grid is a matrix of a studio, with parameters as name=value.
func grid(inputs, outputs int, kind studio.MatrixKind, parameters ...string) studio.Matrix {
	m := studio.Matrix{Name: "grid", Inputs: inputs, Outputs: outputs, Kind: kind, Device: &studio.Device{}}
	for _, p := range parameters {
		key, value, _ := strings.Cut(p, "=")
		m.Device.Parameters = append(m.Device.Parameters, studio.Parameter{Name: key, Value: value})
	}
	return m
}

// drive drives a fake link. Conversations there are written for one reading,
// unless the description says otherwise.
func drive(t *testing.T, d *device.Description, m studio.Matrix, f *fakeLink) *matrix.Matrix {
	t.Helper()
	once := *d
	once.Pacing.Readings = max(1, d.Pacing.Readings)
	driven, err := matrix.New(&once, m, f, matrix.SystemClock{})
	if err != nil {
		t.Fatal(err)
	}
	return driven
}

func end(t *testing.T, m *matrix.Matrix) {
	t.Helper()
	if err := m.Close(); err != nil {
		t.Error(err)
	}
}

// points reads "1-2 3-4" as output-input pairs.
func points(pairs string) []patch.Crosspoint {
	var list []patch.Crosspoint
	for _, pair := range strings.Fields(pairs) {
		var out, in int
		if _, err := fmt.Sscanf(pair, "%d-%d", &out, &in); err != nil {
			panic(err)
		}
		list = append(list, patch.Crosspoint{Output: name.At("grid", "out", out), Input: name.At("grid", "in", in)})
	}
	return list
}

func hexes(text string) string {
	var p bytes.Buffer
	for _, word := range strings.Fields(text) {
		var b byte
		if _, err := fmt.Sscanf(word, "%X", &b); err != nil {
			panic(err)
		}
		p.WriteByte(b)
	}
	return p.String()
}
