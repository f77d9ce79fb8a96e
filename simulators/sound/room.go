// Package sound is a studio as one would hear it: what the outputs of a sound
// device play goes through the metal of the room and through its gear, sample by
// sample, to the device's inputs.
//
// A state is the room from one sample on: a patch, and the faults of its cords. In
// each state the metal gives the gain from every output to every input, by
// package contacts. A box is what gear does to the sound between an input and an
// output; it keeps what it must remember. What a box gives is heard one sample
// later, so that sound may go round.
//
// The package is a witness beside what listens: it takes the values of a studio
// and a patch, and knows nothing of the test sound, of how it is read, or of what
// is made of it.
package sound

import (
	"fmt"
	"math"
	"math/rand/v2"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
)

// State is the room from a sample on.
type State struct {
	From   int
	Patch  patch.Patch
	Faults []contacts.Fault
}

// Box is what gear does to sound, sample by sample.
type Box interface{ Step(x float64) float64 }

// Room is a studio to be heard.
type Room struct {
	Studio *studio.Studio
	// States are in the order of their samples; the first from 0.
	States []State
	// Boxes are what each pass of gear does; a pass without one gives what it takes.
	Boxes map[studio.Pass]Box
	// Outputs and Inputs are those of the device, in the order of its channels.
	Outputs, Inputs []name.Point
	Device          Device
}

// Device is how the sound device converts.
type Device struct {
	// Noise is that of each input, in dB to full scale as rms; 0 for none.
	Noise float64
	// Bits of a sample that is recorded; 0 for all.
	Bits int
	// Late is how many samples after the playing the recording begins.
	Late int
	// Hum is a voltage of 50 Hz and harmonics at each input, in dB to full scale; 0
	// for none.
	Hum float64
	// Seed draws the noise.
	Seed uint64
}

// wire is a gain from an output to an input, by their places.
type wire struct {
	from, to int
	gain     float64
}

// leak is the gain below which a way is left out: no converter hears it.
const leak = 1e-8

// metal is the room in one state.
type metal struct {
	until int
	wires []wire
}

// ports are all outputs and inputs that sound comes through: the device's first.
type ports struct {
	outputs, inputs []name.Point
	passes          []studio.Pass
}

func (r *Room) ports() ports {
	p := ports{outputs: append([]name.Point{}, r.Outputs...), inputs: append([]name.Point{}, r.Inputs...)}
	for _, g := range r.Studio.Gear {
		for _, pass := range g.Passes {
			p.passes = append(p.passes, pass)
			p.outputs, p.inputs = append(p.outputs, pass.Out), append(p.inputs, pass.In)
		}
	}
	return p
}

func (r *Room) metals(p ports, length int) ([]metal, error) {
	var all []metal
	for i, s := range r.States {
		b, err := contacts.BuildWith(r.Studio, s.Patch, s.Faults)
		if err != nil {
			return nil, err
		}
		meter, err := b.Measure()
		if err != nil {
			return nil, err
		}
		m := metal{until: length}
		if i+1 < len(r.States) {
			m.until = r.States[i+1].From
		}
		for to, in := range p.inputs {
			for from, out := range p.outputs {
				if gain := float64(meter.Level(in, out)); math.Abs(gain) > leak {
					m.wires = append(m.wires, wire{from, to, gain})
				}
			}
		}
		all = append(all, m)
	}
	return all, nil
}

// Record plays samples on each output, full scale being 1, and gives what each
// input records. It takes time linear in samples times the ways of the metal.
func (r *Room) Record(played [][]float32) ([][]float32, error) {
	if len(played) != len(r.Outputs) || len(r.States) == 0 {
		return nil, fmt.Errorf("%d channels are played to %d outputs in %d states of the room", len(played), len(r.Outputs), len(r.States))
	}
	length := len(played[0])
	p := r.ports()
	metals, err := r.metals(p, length)
	if err != nil {
		return nil, err
	}
	recorded := make([][]float32, len(r.Inputs))
	for i := range recorded {
		recorded[i] = make([]float32, length)
	}
	out, in := make([]float64, len(p.outputs)), make([]float64, len(p.inputs))
	at := 0
	for _, m := range metals {
		for ; at < m.until; at++ {
			for ch := range played {
				out[ch] = float64(played[ch][at])
			}
			clear(in)
			for _, w := range m.wires {
				in[w.to] += w.gain * out[w.from]
			}
			for i := range recorded {
				recorded[i][at] = float32(in[i])
			}
			r.through(p, in, out)
		}
	}
	return r.Device.convert(recorded), nil
}

// through lets gear give what it will have made of its inputs; several ways into
// one output add up.
func (r *Room) through(p ports, in, out []float64) {
	clear(out[len(r.Outputs):])
	for k, pass := range p.passes {
		x := in[len(r.Inputs)+k]
		if box := r.Boxes[pass]; box != nil {
			x = box.Step(x)
		}
		out[len(r.Outputs)+k] += x
	}
}

// convert is what a device makes of the voltages at its inputs.
func (d Device) convert(inputs [][]float32) [][]float32 {
	random := rand.New(rand.NewPCG(d.Seed, 11))
	for ch, samples := range inputs {
		samples = samples[min(d.Late, len(samples)):]
		for i, x := range samples {
			samples[i] = d.sample(float64(x)+d.hum(i), random)
		}
		inputs[ch] = samples
	}
	return inputs
}

func (d Device) hum(at int) float64 {
	if d.Hum == 0 {
		return 0
	}
	sum := 0.0
	for h := 1.0; h <= 7; h += 2 {
		sum += math.Sin(2*math.Pi*50*h*float64(at)/48000) / h
	}
	return math.Pow(10, d.Hum/20) * sum
}

func (d Device) sample(x float64, random *rand.Rand) float32 {
	if d.Noise != 0 {
		x += math.Pow(10, d.Noise/20) * random.NormFloat64()
	}
	x = max(-1, min(1, x))
	if d.Bits > 0 {
		full := math.Pow(2, float64(d.Bits-1))
		x = math.Round(x*full) / full
	}
	return float32(x)
}
