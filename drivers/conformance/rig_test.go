package conformance_test

import (
	"context"
	"path/filepath"
	"slices"
	"testing"
	"testing/synctest"

	"bayhand/drivers/descriptions"
	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/simulators/line"
	simulated "bayhand/simulators/matrix"
)

// shipped are the descriptions that ship, and some with what those have not; those with
// gangs have tests of their own.
func shipped(t testing.TB) []*device.Description {
	t.Helper()
	all := described(t, "testdata/*.yaml")
	return slices.DeleteFunc(all, func(d *device.Description) bool { return d.Gangs.Any() })
}

// described are the descriptions that ship and those of a pattern.
func described(t testing.TB, pattern string) []*device.Description {
	t.Helper()
	var all []*device.Description
	odd, err := filepath.Glob(pattern)
	if err != nil || len(odd) == 0 {
		t.Fatalf("%v, %v", odd, err)
	}
	for _, shippedName := range append(descriptions.Names(), odd...) {
		file, src, err := descriptions.Named(shippedName)
		if err != nil {
			t.Fatal(err)
		}
		d, _, problems := text.ReadDevice(file, src)
		if problems.Errors() {
			t.Fatal(problems)
		}
		if err := message.Rehearse(d); err != nil {
			t.Fatalf("%s: %v", d.Name, err)
		}
		all = append(all, d)
	}
	return all
}

// rig is a simulated device with whoever drives it.
type rig struct {
	t      testing.TB
	device *device.Description
	matrix studio.Matrix
	state  *simulated.Matrix
	o      line.Options
	// over puts a real line between the driver and the cable; nil for none. What it
	// returns ends what it began.
	over func(t testing.TB, c *cable) (link.Link, func())
	// settle waits until what was sent has arrived, which was to bring about target.
	settle func(target []patch.Crosspoint)
}

func newRig(t testing.TB, d *device.Description, inputs, outputs int, faults simulated.Faults) *rig {
	t.Helper()
	kind := studio.Amplifiers
	if d.Switching == device.ByCrosspoint {
		kind = studio.Contacts
	}
	arrived := func([]patch.Crosspoint) { synctest.Wait() }
	r := &rig{t: t, settle: arrived, device: d, matrix: studio.Matrix{Name: "grid", Inputs: inputs, Outputs: outputs, Kind: kind, Device: &studio.Device{}}}
	r.o = line.Options{Description: d, Inputs: inputs, Outputs: outputs, Faults: faults}
	if d.Name == "midi-control-change" { // room for them all
		r.matrix.Device.Parameters = []studio.Parameter{{Name: "first", Value: "0"}}
		r.o.Parameters = map[string]string{"first": "0"}
	}
	state, err := line.NewMatrix(r.o)
	if err != nil {
		t.Fatal(err)
	}
	r.state, r.o.Matrix = state, state
	return r
}

// plug connects both ends of a cable, until unplug.
func (r *rig) plug(c *cable) (m *matrix.Matrix, unplug func()) {
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- line.Talk(ctx, r.o, deviceEnd{c}) }()
	l, end := link.Link(driverEnd{c}), func() {}
	if r.over != nil {
		l, end = r.over(r.t, c)
	}
	m = r.drive(l)
	return m, func() {
		defer end()
		if err := m.Close(); err != nil {
			r.t.Error(err)
		}
		cancel()
		if err := <-done; err != nil {
			r.t.Error(err)
		}
	}
}

func (r *rig) drive(l link.Link) *matrix.Matrix {
	m, err := matrix.New(r.device, r.matrix, l, matrix.SystemClock{})
	if err != nil {
		r.t.Fatal(err)
	}
	return m
}

// have is what the simulated device has closed, asked from the inside.
func (r *rig) have() []patch.Crosspoint {
	var list []patch.Crosspoint
	for _, c := range r.state.State() {
		list = append(list, r.at(int(c.Output), int(c.Input)))
	}
	slices.SortFunc(list, patch.Crosspoint.Compare)
	return list
}

func (r *rig) at(output, input int) patch.Crosspoint {
	return patch.Crosspoint{Output: name.At("grid", "out", output), Input: name.At("grid", "in", input)}
}

// to is what has to be opened and closed to come from one patch to another.
func to(from, target []patch.Crosspoint) (open, closing []patch.Crosspoint) {
	without := func(list, other []patch.Crosspoint) []patch.Crosspoint {
		return slices.DeleteFunc(slices.Clone(list), func(c patch.Crosspoint) bool { return slices.Contains(other, c) })
	}
	return without(from, target), without(target, from)
}
