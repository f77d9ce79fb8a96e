package level

import (
	"math"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Arrival is one source at one destination. Levels are in dBu and ratios in dB
// at 1 kHz, for the source's working level. What is nil is not known; Known says
// what lacks.
type Arrival struct {
	Destination, Source studio.Port
	// Arrives is the level at the destination, Over how far it is above what the
	// destination works at, Loss what is lost on the way.
	Arrives, Over, Loss Range
	// Wants is the level that the destination works at.
	Wants measure.Level
	// Headroom is how far the source can go up from its working level until Clips
	// does; Own is what the source has by itself.
	Headroom Range
	Own      float64
	Clips    name.Point
	// Load is what the source sees, Ratio how many times its own impedance.
	Load  *measure.Impedance
	Ratio *float64
	// Treble is the level at 20 kHz against that at 1 kHz; Corner is where half of
	// the power is lost, in hertz, nil also where that is above 1 MHz.
	Treble *Range
	Corner *float64
	// Length is the way through cables, Estimated whether any of them was worked
	// out from places or assumed.
	Length    *measure.Length
	Estimated bool
	// Known says what is not known, and what it was taken for.
	Known []string
	// Joined are other outputs on the way's nets: what is heard is not defined.
	Joined []name.Point
	// Cold is what grounds the cold leg of the source, if it is balanced.
	Cold []Ground
}

// At is what arrives at a destination: one value for each source heard there.
func (r *Room) At(destination name.Point) []Arrival {
	port, ok := r.ports[destination]
	if !ok || port.Direction != studio.Input {
		return nil
	}
	var all []Arrival
	for _, p := range r.state.Hears(destination) {
		if source, ok := r.ports[p]; ok {
			if way := r.way(p, destination, map[name.Point]bool{}); way != nil {
				all = append(all, r.arrival(source, port, way))
			}
		}
	}
	return all
}

// Around is what arrives at a destination, or from a source at each destination that
// hears it; nil for any other point.
func (r *Room) Around(point name.Point) []Arrival {
	all := r.At(point)
	for _, destination := range r.state.Reaches(point) {
		for _, arrival := range r.At(destination) {
			if arrival.Source.Point == point {
				all = append(all, arrival)
			}
		}
	}
	return all
}

// All is what arrives at every destination, in the order of the studio.
func (r *Room) All() []Arrival {
	var all []Arrival
	for _, g := range r.studio.Gear {
		for _, p := range g.Ports {
			all = append(all, r.At(p.Point)...)
		}
	}
	return all
}

func (r *Room) arrival(source, destination studio.Port, way []hop) Arrival {
	a := Arrival{Destination: destination, Source: source, Wants: destination.Line.Level}
	var gain Range
	for _, h := range way {
		gain = gain.add(r.gain(h, reference))
		for _, out := range h.net.outputs {
			if out.point != h.from().point {
				a.Joined = append(a.Joined, out.point)
			}
		}
		a.Known = append(a.Known, h.net.lacks...)
	}
	a.Loss = gain.negative()
	a.Arrives = gain.Plus(opened(source.Line))
	a.Over = a.Arrives.Plus(-float64(a.Wants))
	a.Cold = way[0].net.coldGrounds(way[0].output)
	r.clipping(&a, way)
	loading(&a, way[0])
	r.bandwidth(&a, way)
	return a
}

// opened is the working level of an open output, in dBu.
func opened(l studio.Line) float64 { return float64(l.Level) + into(l) }

// into is by how much an open output is above the level that it gives into the
// load for which its level is given, in dB.
func into(l studio.Line) float64 {
	if l.LevelInto <= 0 {
		return 0
	}
	return 20 * math.Log10(float64(l.Source+l.LevelInto)/float64(l.LevelInto))
}

// legLost is what half of the voltage is, in dB.
var legLost = 20 * math.Log10(2)

// clipping finds what clips first as the source goes up: the source itself, a
// matrix on the way, or the destination.
func (r *Room) clipping(a *Arrival, way []hop) {
	l := a.Source.Line
	a.Own = float64(l.Max - l.Level)
	a.Headroom, a.Clips = sourceRoom(l, a.Own, len(a.Cold) > 0), a.Source.Point
	level := exactly(opened(l))
	for _, h := range way {
		level = level.add(r.gain(h, reference))
		a.meet(h.to(), level)
	}
}

// sourceRoom is how far an output can go up by itself. A cross-coupled stage
// with its cold leg grounded makes the whole signal in one leg, and clips at
// half of it.
func sourceRoom(l studio.Line, own float64, grounded bool) Range {
	switch {
	case !grounded || !l.Balanced:
		return exactly(own)
	case l.Stage == studio.CrossCoupledStage:
		return exactly(own - legLost)
	case l.Stage == studio.StageUnsaid:
		return Range{own - legLost, own}
	}
	return exactly(own)
}

// meet takes what an input stands into account, given the level there.
func (a *Arrival) meet(in terminal, level Range) {
	if !in.known {
		return
	}
	room := level.negative().Plus(float64(in.line.Max))
	if room.Low < a.Headroom.Low {
		a.Clips = in.point
	}
	a.Headroom = Range{math.Min(a.Headroom.Low, room.Low), math.Min(a.Headroom.High, room.High)}
}

func loading(a *Arrival, first hop) {
	load, ok := first.net.load()
	if !ok {
		return
	}
	a.Load = &load
	if source := float64(a.Source.Line.Source); source > 0 {
		ratio := float64(load) / source
		a.Ratio = &ratio
	}
}

// bandwidth is known where every cable on the way has a length.
func (r *Room) bandwidth(a *Arrival, way []hop) {
	var length measure.Length
	var drop Range
	worst := make([]*response, len(way))
	for i, h := range way {
		step, ok := h.distance()
		if !ok {
			return
		}
		length += step
		a.Estimated = a.Estimated || h.net.estimated()
		lost, stage := r.trebleOf(h)
		drop = drop.add(lost)
		worst[i] = r.response(h.net, h.output, stage)
	}
	a.Length, a.Treble = &length, &drop
	if r.options.Quick {
		return
	}
	f, ok := corner(func(hertz float64) float64 {
		magnitude := 1.0
		for i, resp := range worst {
			magnitude *= resp.magnitude(way[i].input, hertz)
		}
		return magnitude
	})
	if ok {
		a.Corner = &f
	}
}

// estimated says whether the length of any cable was worked out or assumed.
func (n *net) estimated() bool {
	for _, c := range n.cables {
		if c.estimated {
			return true
		}
	}
	return false
}
