package sound

import (
	"fmt"
	"math"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
)

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
	// hum is the voltage that chassis give to each input of the device.
	hum []float64
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
	p.inputs = append(p.inputs, r.Ears...)
	return p
}

func (r *Room) metals(p ports) ([]metal, error) {
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
		m := metal{until: math.MaxInt}
		if m.hum, err = r.chassisHum(meter, p); err != nil {
			return nil, err
		}
		if i+1 < len(r.States) {
			m.until = r.States[i+1].From
		}
		for to, in := range p.inputs {
			for from, out := range p.outputs {
				gain := float64(meter.Level(in, out))
				if from < len(r.Outputs) {
					gain *= r.full(out)
				}
				if to < len(r.Inputs) {
					gain /= r.full(in)
				}
				if math.Abs(gain) > leak {
					m.wires = append(m.wires, wire{from, to, gain})
				}
			}
		}
		all = append(all, m)
	}
	return all, nil
}

// full is the voltage that is full scale at a port of the device: the highest of its
// line, or the same at all where the device has one full scale.
func (r *Room) full(at name.Point) float64 {
	for _, g := range r.Studio.Gear {
		if g.Name != at.Owner || g.Sound != nil && g.Sound.FullScale != 0 {
			continue
		}
		for _, p := range g.Ports {
			if p.Point == at {
				return math.Pow(10, (float64(p.Line.Max)-usualFull)/20)
			}
		}
	}
	return 1
}

// usualFull is the voltage that is called 1, in dBu: what it is does not matter.
const usualFull = 24

// air is the room's voltages, one sample after the other.
type air struct {
	room    *Room
	ports   ports
	metals  []metal
	boxes   []Box // of the passes; nil where there is none
	at      int
	out, in []float64
	// now and before are the device's inputs at this sample and at the one before, without
	// crosstalk; beside is the part of their difference that comes from one to the next.
	now, before []float64
	beside      float64
}

// air works out the metal of each state.
func (r *Room) air() (*air, error) {
	if len(r.States) == 0 {
		return nil, fmt.Errorf("a room without a state")
	}
	p := r.ports()
	metals, err := r.metals(p)
	boxes := make([]Box, len(p.passes))
	for k, pass := range p.passes {
		boxes[k] = r.Boxes[pass]
	}
	return &air{room: r, ports: p, metals: metals, boxes: boxes, out: make([]float64, len(p.outputs)), in: make([]float64, len(p.inputs)),
		now: make([]float64, len(r.Inputs)), before: make([]float64, len(r.Inputs)),
		// The current through a capacitance goes with the change of the voltage.
		beside: math.Pow(10, r.Crosstalk/20) * rate / (2 * math.Pi * 1000)}, err
}

// step makes the voltages at inputs of those at outputs, and lets gear give what it
// will have made of its inputs; several ways into one output add up.
func (a *air) step() {
	for len(a.metals) > 1 && a.at >= a.metals[0].until {
		a.metals = a.metals[1:]
	}
	a.at++
	clear(a.in)
	for _, w := range a.metals[0].wires {
		a.in[w.to] += w.gain * a.out[w.from]
	}
	r := a.room
	a.disturb()
	clear(a.out[len(r.Outputs):])
	for k, box := range a.boxes {
		x := a.in[len(r.Inputs)+k]
		if box != nil {
			x = box.Step(x)
		}
		a.out[len(r.Outputs)+k] += x
	}
}
