package sound

import (
	"math"

	"bayhand/simulators/contacts"
)

// chassisHum is how much each input of the device takes of the voltages between chassis.
func (r *Room) chassisHum(meter *contacts.Readings, p ports) ([]float64, error) {
	hum := make([]float64, len(r.Inputs))
	for i, in := range r.Inputs {
		for _, out := range p.outputs {
			level, has := r.Chassis[out.Owner]
			if !has {
				continue
			}
			part, err := meter.Hum(in, out)
			if err != nil {
				return nil, err
			}
			hum[i] += float64(part) * math.Pow(10, level/20)
		}
	}
	return hum, nil
}

// disturb adds to the inputs of the device what comes from beside them and from chassis.
func (a *air) disturb() {
	r := a.room
	if len(r.Chassis) > 0 {
		wave := math.Sqrt2 * math.Sin(2*math.Pi*50*float64(a.at)/rate)
		for i, hum := range a.metals[0].hum {
			a.in[i] += hum * wave
		}
	}
	if r.Crosstalk == 0 {
		return
	}
	now, old := a.now, a.before
	copy(now, a.in)
	for i := range now {
		change := 0.0
		if i > 0 {
			change += now[i-1] - old[i-1]
		}
		if i+1 < len(now) {
			change += now[i+1] - old[i+1]
		}
		a.in[i] += a.beside * change
	}
	a.now, a.before = old, now
}
