package conformance_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/patch"
	simulated "bayhand/simulators/matrix"
)

// most is how many times its limit a change of every output may take, reading back
// included. The limit is the time that the bytes take on the line and the device's
// own rests: what it says that crosspoints take to move, for each message that moves
// some.
const most = 1.05

// Every output of a matrix of 64x64, or the largest that there is, goes to another
// input and is read back. The clock is that of the bubble, so that the time is
// that of the line alone.
func TestSpeed(t *testing.T) {
	for _, baud := range []int{31250, 9600} {
		eachDevice(t, func(t *testing.T, d *device.Description) {
			if baud != 31250 && d.Frame.Kind == device.MIDIMessages {
				return // MIDI 1.0 has one rate
			}
			if len(d.Wake) > 0 {
				return // its pauses, not its bytes, are what it takes
			}
			s := speed(t, d, baud)
			t.Log(s)
			if s.ratio() > most {
				t.Errorf("%.3f times the limit is more than %.2f", s.ratio(), most)
			}
		})
	}
}

// BenchmarkChange reports what TestSpeed holds to: bytes on the line for a whole
// change with its reading back, and how many times its limit it takes.
func BenchmarkChange(b *testing.B) {
	for _, baud := range []int{31250, 9600} {
		for _, d := range shipped(b) {
			if baud != 31250 && d.Frame.Kind == device.MIDIMessages {
				continue
			}
			b.Run(fmt.Sprintf("%s/%d", d.Name, baud), func(b *testing.B) {
				var s sped
				for b.Loop() {
					s = inBubble(b, d, baud)
				}
				b.ReportMetric(float64(s.bytes), "line-bytes")
				b.ReportMetric(s.ratio(), "of-limit")
				b.ReportMetric(s.took.Seconds()*1000, "line-ms")
			})
		}
	}
}

// inBubble is speed in a bubble of time, which only a test can have.
func inBubble(b *testing.B, d *device.Description, baud int) (s sped) {
	test := testing.InternalTest{Name: b.Name(), F: func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) { s = speed(t, d, baud) })
	}}
	if !testing.RunTests(func(string, string) (bool, error) { return true, nil }, []testing.InternalTest{test}) {
		b.Fatal("it failed as a test")
	}
	return s
}

// changesAmong is how many of the messages of one Switch move something: each is
// followed by what asks whether all is done and whether there are errors, where the
// device has those.
func changesAmong(d *device.Description, messages int) int {
	each := 1
	for _, role := range []device.Role{device.Settle, device.Errors} {
		if _, ok := d.Exchange(role); ok {
			each++
		}
	}
	return messages / each
}

// sped is how a change went.
type sped struct {
	inputs, outputs, baud, bytes int
	line, rests, switched, took  time.Duration
}

func (s sped) ratio() float64 { return s.took.Seconds() / (s.line + s.rests).Seconds() }

func (s sped) String() string {
	return fmt.Sprintf("%dx%d at %d baud: %d bytes take %v and the device rests %v; switched in %v, known in %v: %.3f times the limit",
		s.inputs, s.outputs, s.baud, s.bytes, s.line.Round(time.Millisecond), s.rests, s.switched.Round(time.Millisecond), s.took.Round(time.Millisecond), s.ratio())
}

func speed(t *testing.T, d *device.Description, baud int) sped {
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
	before, sent, start := c.bytes(), c.messages.Load(), time.Now()
	open, closing := to(here, there)
	if err := m.Switch(context.Background(), open, closing); err != nil {
		t.Fatal(err)
	}
	s := sped{inputs: inputs, outputs: outputs, baud: baud, switched: time.Since(start)}
	moves := changesAmong(d, int(c.messages.Load()-sent))
	if m.ReadsBack() {
		read(t, m, there)
	}
	s.took, s.bytes = time.Since(start), c.bytes()-before
	synctest.Wait()
	if m.ReadsBack() && !slices.Equal(r.have(), there) {
		t.Error("the device has something else")
	}
	s.line = time.Duration(s.bytes) * bitsPerByte * time.Second / time.Duration(baud)
	s.rests = time.Duration(moves) * time.Duration(d.Pacing.Settle) * time.Millisecond
	return s
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
