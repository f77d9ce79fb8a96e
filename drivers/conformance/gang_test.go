package conformance_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/synctest"

	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/patch"
	simulated "bayhand/simulators/matrix"
)

func eachGanged(t *testing.T, do func(t *testing.T, d *device.Description)) {
	found := 0
	for _, d := range described(t, "testdata/gangs/*.yaml") {
		if !d.Gangs.Any() {
			continue
		}
		found++
		t.Run(d.Name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) { do(t, d) })
		})
	}
	if found < 4 {
		t.Errorf("only %d descriptions have gangs", found)
	}
}

// gangRig is a simulated device with gangs, in a studio that has them.
func gangRig(t *testing.T, d *device.Description, faults simulated.Faults) *rig {
	t.Helper()
	inputs, outputs := size(d, 8)
	r := newRig(t, d, inputs, outputs, faults)
	for _, gang := range d.Gangs.All(outputs) {
		var group []name.Point
		for _, output := range gang {
			group = append(group, r.matrix.Out(output))
		}
		r.matrix.Stereo = append(r.matrix.Stereo, group)
	}
	return r
}

// patchOf draws a patch in which gangs are whole.
func (r *rig) patchOf(random *rand.Rand) []patch.Crosspoint {
	var target []patch.Crosspoint
	groups := slices.Clone(r.matrix.Stereo)
	for o := 1; o <= r.matrix.Outputs; o++ {
		if !slices.ContainsFunc(groups, func(g []name.Point) bool { return slices.Contains(g, r.matrix.Out(o)) }) {
			groups = append(groups, []name.Point{r.matrix.Out(o)})
		}
	}
	for _, group := range groups {
		step := max(1, r.device.Gangs.Of)
		first := random.IntN(r.matrix.Inputs/step+1)*step - step + 1
		if first < 1 || first+len(group)-1 > r.matrix.Inputs {
			continue
		}
		for k, output := range group {
			target = append(target, patch.Crosspoint{Output: output, Input: r.matrix.In(first + k)})
		}
	}
	slices.SortFunc(target, patch.Crosspoint.Compare)
	return target
}

// Outputs that the device moves together are switched by one message for all of them,
// read back one by one, and a gang that was split is told as it is, and is whole again
// after the next message.
func TestGangs(t *testing.T) {
	eachGanged(t, func(t *testing.T, d *device.Description) {
		r := gangRig(t, d, simulated.Faults{})
		m, unplug := r.plug(newCable(9600, false, nil))
		defer unplug()
		random := rand.New(rand.NewPCG(1, 1))
		for range 20 {
			verified(t, r, m, r.patchOf(random))
		}
	})
}

// A device that splits its gangs is never read as one that did not, and is mended by
// being switched again.
func TestSplitGangs(t *testing.T) {
	eachGanged(t, func(t *testing.T, d *device.Description) {
		r := gangRig(t, d, simulated.Faults{Split: 2})
		m, unplug := r.plug(newCable(9600, false, nil))
		defer unplug()
		random, ends := rand.New(rand.NewPCG(1, 2)), outcomes{}
		for range 20 {
			target := r.patchOf(random)
			open, closing := to(r.have(), target)
			if err := m.Switch(context.Background(), open, closing); err != nil {
				t.Fatal(err)
			}
			heldAgainst(t, r, m, ends)
		}
		if ends["split"] == 0 {
			t.Errorf("the gangs were never split: %v", ends)
		}
		r.state.Mend()
		verified(t, r, m, nil)
		verified(t, r, m, r.patchOf(random))
	})
}

// heldAgainst holds what is read, of outputs that are known, against the device.
func heldAgainst(t *testing.T, r *rig, m *matrix.Matrix, ends outcomes) {
	t.Helper()
	synctest.Wait()
	read, err := m.Read(context.Background())
	var unclear *matrix.UnclearError
	if err != nil && !errors.As(err, &unclear) {
		t.Fatal(err)
	}
	have := r.have()
	if unclear != nil {
		have = slices.DeleteFunc(have, func(c patch.Crosspoint) bool { return slices.Contains(unclear.Outputs, c.Output) })
	}
	if !slices.Equal(read, have) {
		t.Errorf("a wrong belief: read %v, and it holds %v", read, have)
	}
	split := false
	for o := range simulated.Output(r.matrix.Outputs) {
		split = split || r.state.Split(o+1)
	}
	ends[map[bool]string{true: "split", false: "whole"}[split]]++
}

// A studio that moves outputs alone which the device moves together is refused, with
// what to write.
func TestGangsThatTheStudioDoesNotSay(t *testing.T) {
	eachGanged(t, func(t *testing.T, d *device.Description) {
		r := gangRig(t, d, simulated.Faults{})
		r.matrix.Stereo = r.matrix.Stereo[1:]
		_, err := matrix.New(d, r.matrix, nil, matrix.SystemClock{})
		if err == nil || !strings.Contains(err.Error(), "write under grid: stereo: [[out1, out2]") {
			t.Errorf("refused with %v", err)
		}
	})
}
