package conformance_test

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"

	"github.com/google/go-cmp/cmp"

	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/simulators/leaks"
	simulated "bayhand/simulators/matrix"
)

func TestMain(m *testing.M) { leaks.TestMain(m) }

// size is the largest size that is tried: that of the description, or 24x24.
func size(d *device.Description, most int) (inputs, outputs int) {
	fit := func(fixed, bound int) int {
		switch {
		case fixed > 0:
			return fixed
		case bound > 0:
			return min(most, bound)
		}
		return most
	}
	return fit(d.Inputs, d.MaxInputs), fit(d.Outputs, d.MaxOutputs)
}

// patches are those that every matrix goes through.
func patches(r *rig) map[string][]patch.Crosspoint {
	inputs, outputs := r.matrix.Inputs, r.matrix.Outputs
	all := map[string][]patch.Crosspoint{}
	for o := 1; o <= outputs; o++ {
		all["1 straight through"] = append(all["1 straight through"], r.at(o, 1+(o-1)%inputs))
		all["2 all outputs to one input"] = append(all["2 all outputs to one input"], r.at(o, inputs))
		if o%2 == 0 {
			all["4 every second output"] = append(all["4 every second output"], r.at(o, 1+(o*7)%inputs))
		}
	}
	all["3 nothing"] = nil
	all["5 the last crosspoint"] = []patch.Crosspoint{r.at(outputs, inputs)}
	return all
}

// verified goes to a patch, and sees to it that the device has it and that what
// is read back is what the device has.
func verified(t *testing.T, r *rig, m *matrix.Matrix, target []patch.Crosspoint) {
	t.Helper()
	open, closing := to(r.have(), target)
	if err := m.Switch(context.Background(), open, closing); err != nil {
		t.Errorf("switch: %v", err)
	}
	synctest.Wait()
	if r.state.Muted() {
		t.Error("the device was left mute")
	}
	if diff := cmp.Diff(target, r.have()); diff != "" {
		t.Errorf("-wanted +device\n%s", diff)
	}
	read, err := m.Read(context.Background())
	if !m.ReadsBack() {
		if !errors.Is(err, matrix.ErrNoReadBack) {
			t.Errorf("read of a device that cannot be asked: %v", err)
		}
		return
	}
	if diff := cmp.Diff(target, read); err != nil || diff != "" {
		t.Errorf("%v: -wanted +read\n%s", err, diff)
	}
}

func eachDevice(t *testing.T, do func(t *testing.T, d *device.Description)) {
	for _, d := range shipped(t) {
		t.Run(d.Name, func(t *testing.T) {
			t.Parallel()
			synctest.Test(t, func(t *testing.T) { do(t, d) })
		})
	}
}

func TestPatches(t *testing.T) {
	for name, most := range map[string]int{"one": 1, "small": 3, "odd": 7, "large": large} {
		t.Run(name, func(t *testing.T) {
			eachDevice(t, func(t *testing.T, d *device.Description) {
				inputs, outputs := size(d, most)
				r := newRig(t, d, inputs, outputs, simulated.Faults{})
				m, unplug := r.plug(newCable(31250, false, nil))
				defer unplug()
				all := patches(r)
				for _, key := range []string{"1 straight through", "2 all outputs to one input", "3 nothing", "4 every second output", "5 the last crosspoint", "1 straight through"} {
					verified(t, r, m, all[key])
					// Once more: nothing is left to do, and doing it again does no harm.
					verified(t, r, m, all[key])
					if err := m.Switch(context.Background(), nil, all[key]); err != nil {
						t.Errorf("%s, closed again: %v", key, err)
					}
					verified(t, r, m, all[key])
				}
			})
		})
	}
}

// Batches are filled to the border, and one beyond.
func TestBatchBorders(t *testing.T) {
	eachDevice(t, func(t *testing.T, d *device.Description) {
		batch := 1
		for _, e := range d.Exchanges {
			batch = max(batch, e.Batch)
		}
		inputs, outputs := size(d, max(6*large, 2*batch+1))
		inputs = min(inputs, large)
		r := newRig(t, d, inputs, outputs, simulated.Faults{})
		m, unplug := r.plug(newCable(0, false, nil))
		defer unplug()
		for _, count := range []int{batch - 1, batch, batch + 1, 2 * batch, outputs} {
			var target []patch.Crosspoint
			for o := 1; o <= min(count, outputs); o++ {
				target = append(target, r.at(o, 1+o%inputs))
			}
			verified(t, r, m, target)
			verified(t, r, m, nil)
		}
	})
}

// Answers come a byte at a time, echoed or not.
func TestSplitAndEcho(t *testing.T) {
	for _, echo := range []bool{false, true} {
		eachDevice(t, func(t *testing.T, d *device.Description) {
			d.Echo = echo
			inputs, outputs := size(d, 4)
			r := newRig(t, d, inputs, outputs, simulated.Faults{})
			m, unplug := r.plug(newCable(9600, true, nil))
			defer unplug()
			for _, target := range patches(r) {
				verified(t, r, m, target)
			}
		})
	}
}
