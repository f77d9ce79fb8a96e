package conformance_test

import (
	"context"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/patch"
	simulated "bayhand/simulators/matrix"
)

// slowest is how many times the time that its bytes take on the line a change of
// every output may take, reading back included. What is beyond 1 is the device's
// own rests: 10 ms after each batch of relays, 20 ms after each message of a
// switcher that says nothing.
var slowest = map[string]float64{
	"binary-switch": 1.3, "line-switch": 1.2, "midi-exclusive": 1.2, "scpi-switch": 1.4, "scpi-switch-rows": 1.1,
	"odd-lines": 1.2, "odd-midi": 1.2,
	"midi-control-change": 28, "midi-control-change-channel": 28, "midi-nrpn": 8, "midi-program-change": 50,
}

// Every output of a matrix of 64x64, or the largest that there is, goes to another
// input and is read back. The clock is that of the bubble, so that the time is
// that of the line alone.
func TestSpeed(t *testing.T) {
	for _, baud := range []int{31250, 9600} {
		eachDevice(t, func(t *testing.T, d *device.Description) { speed(t, d, baud) })
	}
}

func speed(t *testing.T, d *device.Description, baud int) {
	inputs, outputs := size(d, 64)
	r := newRig(t, d, inputs, outputs, simulated.Faults{})
	c := newCable(baud, false, nil)
	m, unplug := r.plug(c)
	defer unplug()
	var here, there []patch.Crosspoint
	for o := 1; o <= outputs; o++ {
		here = append(here, r.at(o, 1+(o-1)%inputs))
		there = append(there, r.at(o, 1+o%inputs))
	}
	verified(t, r, m, here)
	before, start := c.bytes(), time.Now()
	open, closing := to(here, there)
	if err := m.Switch(context.Background(), open, closing); err != nil {
		t.Fatal(err)
	}
	switched := time.Since(start)
	if m.ReadsBack() {
		read(t, m, there)
	}
	took, bytes := time.Since(start), c.bytes()-before
	synctest.Wait()
	least := time.Duration(bytes) * bitsPerByte * time.Second / time.Duration(baud)
	ratio := took.Seconds() / least.Seconds()
	t.Logf("%dx%d at %d baud: %d bytes, which take %v; switched in %v, known in %v: %.2f times the line", inputs, outputs, baud, bytes, least.Round(time.Millisecond), switched.Round(time.Millisecond), took.Round(time.Millisecond), ratio)
	if limit, known := slowest[d.Name]; !known || ratio > limit {
		t.Errorf("%.2f times what the bytes take is more than %.2f", ratio, limit)
	}
}

func read(t *testing.T, m *matrix.Matrix, want []patch.Crosspoint) {
	t.Helper()
	if got, err := m.Read(context.Background()); err != nil || !slices.Equal(got, want) {
		t.Errorf("read %v, %v", got, err)
	}
}

// bytes is how many have been sent both ways.
func (c *cable) bytes() int {
	n := 0
	for _, w := range []*wire{c.toDevice, c.toDriver} {
		w.mu.Lock()
		n += w.count
		w.mu.Unlock()
	}
	return n
}
