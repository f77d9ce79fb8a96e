package conformance_test

import (
	"bytes"
	"context"
	"os"
	"testing"
	"testing/synctest"

	"github.com/google/go-cmp/cmp"

	"bayhand/drivers/link"
	"bayhand/drivers/matrix"
	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/text"
	simulated "bayhand/simulators/matrix"
)

// tapped is a link that keeps what was sent.
type tapped struct {
	link.Link
	sent bytes.Buffer
}

func (l *tapped) Write(p []byte) (int, error) {
	l.sent.Write(p)
	return l.Link.Write(p)
}

// onPresets tests a switcher with stored presets and a display. What its presets hold
// may be otherwise than its description says.
func onPresets(t *testing.T, holds []device.Preset, do func(r *rig, m *matrix.Matrix, line *tapped)) {
	t.Helper()
	const file = "testdata/presets/preset-lines.yaml"
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	d, _, problems := text.ReadDevice(file, src)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if err := message.Rehearse(d); err != nil {
		t.Fatal(err)
	}
	synctest.Test(t, func(t *testing.T) {
		r := newRig(t, d, 8, 8, simulated.Faults{})
		own := *d
		own.Presets = holds
		r.o.Description = &own
		line := &tapped{}
		r.over = func(_ testing.TB, c *cable) (link.Link, func()) {
			line.Link = driverEnd{c}
			return line, func() {}
		}
		m, unplug := r.plug(newCable(9600, false, nil))
		defer unplug()
		do(r, m, line)
	})
}

// stored is what the presets hold as described, singly what it takes without them.
var stored = []device.Preset{
	{Number: 1, Holds: [][2]int{{1, 1}, {2, 2}, {3, 3}, {4, 4}, {5, 5}, {6, 6}, {7, 7}, {8, 8}}},
	{Number: 2}, {Number: 12, Holds: [][2]int{{1, 8}, {8, 1}}},
}

const singly = "X1,1\nX2,2\nX3,3\nX4,4\nX5,5\nX6,6\nX7,7\nX8,8\n"

// straight switches from what there is to all straight through, and gives what was sent;
// arrives says whether the device has it then.
func straight(r *rig, m *matrix.Matrix, line *tapped, arrives bool) string {
	var target []patch.Crosspoint
	for n := 1; n <= 8; n++ {
		target = append(target, r.at(n, n))
	}
	line.sent.Reset()
	open, closing := to(r.have(), target)
	if err := m.Switch(context.Background(), open, closing); err != nil {
		r.t.Error(err)
	}
	sent := line.sent.String()
	if diff := cmp.Diff(target, r.have()); arrives && diff != "" {
		r.t.Errorf("-wanted +device\n%s", diff)
	}
	return sent
}

func mustRead(r *rig, m *matrix.Matrix) {
	r.t.Helper()
	if _, err := m.Read(context.Background()); err != nil {
		r.t.Error(err)
	}
}

// A stored preset that holds what is asked is one command in the place of eight; only
// from what was read, and only where nothing may have changed since.
func TestPreset(t *testing.T) {
	onPresets(t, stored, func(r *rig, m *matrix.Matrix, line *tapped) {
		if sent := straight(r, m, line, true); sent != singly {
			t.Errorf("from what nobody read it sends %q", sent)
		}
		verified(t, r, m, nil) // and reads it
		if sent := straight(r, m, line, true); sent != "P01\n" {
			t.Errorf("it sends %q", sent)
		}
		mustRead(r, m)
		verified(t, r, m, []patch.Crosspoint{r.at(1, 8), r.at(8, 1)}) // preset 12
		verified(t, r, m, []patch.Crosspoint{r.at(1, 8), r.at(2, 1)}) // none
		if sent := line.sent.String(); bytes.Count([]byte(sent), []byte("P12\n")) != 1 {
			t.Errorf("it sent %q", sent)
		}
	})
}

// One that holds something else than the description says is found out by the reading
// afterwards, and not recalled again.
func TestPresetThatHoldsSomethingElse(t *testing.T) {
	onPresets(t, []device.Preset{{Number: 1, Holds: [][2]int{{1, 2}}}}, func(r *rig, m *matrix.Matrix, line *tapped) {
		mustRead(r, m)
		if sent := straight(r, m, line, false); sent != "P01\n" {
			t.Errorf("it sends %q", sent)
		}
		mustRead(r, m)
		if sent := straight(r, m, line, true); sent != singly {
			t.Errorf("after that it sends %q", sent)
		}
	})
}

// One that the device refuses is not tried again, and what was asked is done all the
// same.
func TestPresetRefused(t *testing.T) {
	onPresets(t, nil, func(r *rig, m *matrix.Matrix, line *tapped) {
		mustRead(r, m)
		if sent := straight(r, m, line, true); sent != "P01\n"+singly {
			t.Errorf("it sends %q", sent)
		}
		verified(t, r, m, nil)
		if sent := straight(r, m, line, true); sent != singly {
			t.Errorf("after that it sends %q", sent)
		}
	})
}

// The studio's names stand on the display, in ASCII and as long as it is.
func TestLabels(t *testing.T) {
	onPresets(t, stored, func(r *rig, m *matrix.Matrix, _ *tapped) {
		must(t, m.Label(context.Background(), []string{"Bus left", "", "Loudspeakers"}, []string{"", "Café"}))
		want := map[string]string{"out1": "Bus left", "out3": "Loudspea", "in2": "Caf?"}
		if diff := cmp.Diff(want, r.state.Labels()); diff != "" {
			t.Errorf("-wanted +device\n%s", diff)
		}
	})
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Error(err)
	}
}
