package matrix_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/line"
	simulated "bayhand/simulators/matrix"
)

// The simulators are written apart from the drivers, from the same description
// or from the standard, so a misreading on one side shows here.

// simulate is a device on a pseudo-terminal until the test ends, and its
// address.
func simulate(t *testing.T, d *device.Description, kind string, inputs, outputs int, faults simulated.Faults) (address string, state *simulated.Matrix) {
	t.Helper()
	o := line.Options{Description: d, Inputs: inputs, Outputs: outputs, Faults: faults}
	state, err := line.NewMatrix(o)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "line")
	if kind == "rfc2217" {
		path = "127.0.0.1:0"
	}
	o.Matrix, o.Listen = state, kind+":"+path
	ctx, cancel := context.WithCancel(context.Background())
	ready, done := make(chan string, 1), make(chan error, 1)
	go func() { done <- line.Serve(ctx, o, func(where string) { ready <- where }) }()
	t.Cleanup(func() {
		cancel()
		if err := <-done; err != nil {
			t.Error(err)
		}
	})
	select {
	case where := <-ready:
		path = strings.TrimPrefix(where, kind+":")
	case err := <-done:
		done <- nil
		t.Fatal(err)
	}
	return path, state
}

// patient is a device that nothing goes wrong with: only a machine that does much else
// lets it answer late.
func patient(t *testing.T, description string) *device.Description {
	t.Helper()
	d := shipped.Named(t, description)
	d.Pacing.Timeout = 30_000
	return d
}

func open(t *testing.T, d *device.Description, m studio.Matrix, address string) *matrix.Matrix {
	t.Helper()
	l, err := link.Open(context.Background(), address, link.Options{Serial: d.Serial, Kinds: d.Links})
	if err != nil {
		t.Fatal(err)
	}
	driven, err := matrix.New(d, m, l, matrix.SystemClock{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { end(t, driven) })
	return driven
}

// have is what the simulated device has closed, asked from the inside.
func have(state *simulated.Matrix) []patch.Crosspoint {
	var list []patch.Crosspoint
	g := grid(1, 1, studio.Contacts)
	for _, c := range state.State() {
		list = append(list, patch.Crosspoint{Output: g.Out(int(c.Output)), Input: g.In(int(c.Input))})
	}
	slices.SortFunc(list, patch.Crosspoint.Compare)
	return list
}

func TestSimulated(t *testing.T) {
	tests := []struct {
		description, simulator, address string
		inputs, outputs                 int
		kind                            studio.MatrixKind
	}{
		{"scpi-switch", "pty", "serial:", 16, 16, studio.Contacts},
		{"midi-exclusive", "rawmidi", "rawmidi:", 8, 8, studio.Amplifiers},
		{"line-switch", "pty", "serial:", 5, 7, studio.Amplifiers},
		{"line-switch", "rfc2217", "rfc2217:", 5, 7, studio.Amplifiers},
		{"binary-switch", "rfc2217", "rfc2217:", 8, 8, studio.Amplifiers}, // any byte may come, IAC too
	}
	for _, test := range tests {
		t.Run(test.description+" "+test.simulator, func(t *testing.T) {
			t.Parallel()
			d := patient(t, test.description)
			path, state := simulate(t, d, test.simulator, test.inputs, test.outputs, simulated.Faults{})
			m := open(t, d, grid(test.inputs, test.outputs, test.kind), test.address+path)
			if identity, err := m.Identify(t.Context()); err != nil || identity == "" {
				t.Errorf("Identify = %q, %v", identity, err)
			}
			walk(t, m, state, test.inputs, test.outputs)
		})
	}
}

// walk goes from one random patch to the next, and compares what was wanted,
// what was read back and what the device has.
func walk(t *testing.T, m *matrix.Matrix, state *simulated.Matrix, inputs, outputs int) {
	random := rand.New(rand.NewPCG(1, 2))
	g := grid(inputs, outputs, studio.Contacts)
	var now []patch.Crosspoint
	for range 8 {
		var next []patch.Crosspoint
		for output := 1; output <= outputs; output++ {
			if input := random.IntN(inputs + 1); input > 0 {
				next = append(next, patch.Crosspoint{Output: g.Out(output), Input: g.In(input)})
			}
		}
		if err := m.Switch(t.Context(), without(now, next), without(next, now)); err != nil {
			t.Fatal(err)
		}
		read, err := m.Read(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(next, read); diff != "" {
			t.Fatalf("-wanted +read\n%s", diff)
		}
		if diff := cmp.Diff(have(state), read); diff != "" {
			t.Fatalf("-device +read\n%s", diff)
		}
		now = next
	}
}

func without(list, other []patch.Crosspoint) []patch.Crosspoint {
	return slices.DeleteFunc(slices.Clone(list), func(c patch.Crosspoint) bool { return slices.Contains(other, c) })
}

// A device that loses and spoils answers is read right, or not at all.
func TestSimulatedFaults(t *testing.T) {
	for name, faults := range map[string]simulated.Faults{
		"lose":   {Lose: 3},
		"garble": {Garble: 4},
		"delay":  {Delay: 20 * ms},
		"dead":   {Dead: 60},
	} {
		for _, description := range []string{"scpi-switch", "midi-exclusive", "line-switch"} {
			t.Run(name+" "+description, func(t *testing.T) {
				t.Parallel()
				d := shipped.Named(t, description)
				d.Pacing.Timeout = 200
				if name != "dead" {
					d.Pacing.Timeout = 600 // it has to be read by a machine that does much else, too
				}
				simulator, address := "pty", "serial:"
				if d.Frame.Kind == device.MIDIMessages {
					simulator, address = "rawmidi", "rawmidi:"
				}
				path, state := simulate(t, d, simulator, 4, 4, faults)
				m := open(t, d, grid(4, 4, studio.Amplifiers), address+path)
				if reads := trouble(t, m, state); reads == 0 && name != "dead" {
					t.Error("it was never read")
				}
			})
		}
	}
}

// trouble switches and reads until no answer comes, and says how often it read.
func trouble(t *testing.T, m *matrix.Matrix, state *simulated.Matrix) (reads int) {
	g := grid(4, 4, studio.Amplifiers)
	for output := 1; output <= 3; output++ {
		wanted := []patch.Crosspoint{{Output: g.Out(output), Input: g.In(5 - output)}}
		err := m.Switch(t.Context(), without(have(state), wanted), wanted)
		if err != nil && !errors.Is(err, matrix.ErrNoAnswer) && !errors.Is(err, matrix.ErrRefused) {
			t.Error(err)
		}
		read, err := m.Read(t.Context())
		if err != nil {
			if !errors.Is(err, matrix.ErrNoAnswer) {
				t.Error(err)
			}
			return reads
		}
		reads++
		if diff := cmp.Diff(have(state), read); diff != "" {
			t.Fatalf("a wrong belief: -device +read\n%s", diff)
		}
	}
	return reads
}

// What is turned at the device's front is reported.
func TestSimulatedReport(t *testing.T) {
	for description, simulator := range map[string]string{"midi-exclusive": "rawmidi", "line-switch": "pty"} {
		t.Run(description, func(t *testing.T) {
			t.Parallel()
			d := patient(t, description)
			address := map[string]string{"rawmidi": "rawmidi:", "pty": "serial:"}[simulator]
			path, state := simulate(t, d, simulator, 4, 4, simulated.Faults{})
			m := open(t, d, grid(4, 4, studio.Amplifiers), address+path)
			if _, err := m.Read(t.Context()); err != nil {
				t.Fatal(err)
			}
			if err := state.Set(simulated.Front, simulated.Crosspoint{Output: 2, Input: 3}); err != nil {
				t.Fatal(err)
			}
			select {
			case r := <-m.Reports():
				if diff := cmp.Diff(points("2-3"), r.Closed); diff != "" || r.Err != nil {
					t.Errorf("%v: -want +reported\n%s", r.Err, diff)
				}
			case <-time.After(30 * time.Second):
				t.Error("no report came")
			}
			wantRead(t, m, "2-3")
		})
	}
}

// A device that restarts hangs up and has lost its crosspoints; on the next
// connection it says so.
func TestSimulatedRestart(t *testing.T) {
	d := patient(t, "scpi-switch")
	o := line.Options{Description: d, Inputs: 4, Outputs: 4, Listen: "tcp:127.0.0.1:0", Faults: simulated.Faults{Reboot: 8}}
	ctx, cancel := context.WithCancel(context.Background())
	ready, done := make(chan string, 1), make(chan error, 1)
	go func() { done <- line.Serve(ctx, o, func(where string) { ready <- where }) }()
	defer func() {
		cancel()
		if err := <-done; err != nil {
			t.Error(err)
		}
	}()
	address := <-ready
	m := open(t, d, grid(4, 4, studio.Contacts), address)
	if err := m.Switch(t.Context(), nil, points("1-2")); err != nil {
		t.Fatal(err)
	}
	wantRead(t, m, "1-2")
	var err error
	for range 8 {
		if _, err = m.Read(t.Context()); err != nil {
			break
		}
	}
	if !errors.Is(err, matrix.ErrGone) {
		t.Fatalf("the restart was heard as %v", err)
	}
	end(t, m)
	wantRead(t, open(t, d, grid(4, 4, studio.Contacts), address), "")
}
