package conformance_test

import (
	"context"
	"maps"
	"slices"
	"testing"
	"testing/synctest"

	"bayhand/drivers/descriptions"
	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/patch"
	simulated "bayhand/simulators/matrix"
)

// overheard is a link that notes of which roles the messages are that go over it.
type overheard struct {
	link.Link
	codec *message.Codec
	roles []device.Role
	sent  map[device.Role]bool
	// parts are the last writes: a message may pause within.
	parts [][]byte
}

func (l *overheard) Write(p []byte) (int, error) {
	l.parts = append(l.parts, slices.Clone(p))
	l.parts = l.parts[max(0, len(l.parts)-4):]
	for from := range l.parts {
		whole := slices.Concat(l.parts[from:]...)
		for _, role := range l.roles {
			if _, err := l.codec.Sent(role, whole); err == nil {
				l.sent[role] = true
			}
		}
	}
	return l.Link.Write(p)
}

// A description that is taken is driven through the simulated device by each message that
// it has, each preset and labels too, and what is read back is what the device has. Cancel
// is only sent to a device that is late (TestFaults).
func TestEachRoleIsDriven(t *testing.T) {
	all := append(shipped(t), described(t, "testdata/presets/*.yaml")[len(descriptions.Names()):]...)
	for _, d := range all {
		t.Run(d.Name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) { driveEachRole(t, d) })
		})
	}
}

func driveEachRole(t *testing.T, d *device.Description) {
	inputs, outputs := size(d, 4)
	r := newRig(t, d, inputs, outputs, simulated.Faults{})
	codec, err := message.New(d, inputs, outputs, r.o.Parameters)
	if err != nil {
		t.Fatal(err)
	}
	line := &overheard{codec: codec, sent: map[device.Role]bool{}}
	for _, e := range d.Exchanges {
		less := e.Role == device.ReadOutput && codec.ReadsBack() != device.ReadOutput // the whole is read instead
		if len(e.Send) > 0 && e.Role != device.Cancel && !less {
			line.roles = append(line.roles, e.Role)
		}
	}
	r.over = func(_ testing.TB, c *cable) (link.Link, func()) {
		line.Link = driverEnd{c}
		return line, func() {}
	}
	m, unplug := r.plug(newCable(31250, false, nil))
	defer unplug()
	drivePatches(t, r, m, d)
	must(t, m.Label(context.Background(), slices.Repeat([]string{"Bus"}, outputs), slices.Repeat([]string{"Vocal mic"}, inputs)))
	synctest.Wait()
	for _, role := range line.roles {
		if !line.sent[role] {
			t.Errorf("the message %s was never sent", role)
		}
	}
}

// drivePatches goes through patches, and to what each preset holds.
func drivePatches(t *testing.T, r *rig, m *matrix.Matrix, d *device.Description) {
	t.Helper()
	if _, err := m.Identify(context.Background()); err != nil {
		t.Error(err)
	}
	all := patches(r)
	for _, name := range slices.Sorted(maps.Keys(all)) { // nothing comes after something
		verified(t, r, m, all[name])
	}
	for _, p := range d.Presets {
		verified(t, r, m, nil)
		var target []patch.Crosspoint
		for _, pair := range p.Holds {
			target = append(target, r.at(pair[0], pair[1]))
		}
		slices.SortFunc(target, patch.Crosspoint.Compare)
		verified(t, r, m, target)
	}
}
