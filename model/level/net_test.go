package level

import (
	"math"
	"testing"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// balanced and single are lines of an impedance, as outputs and as inputs.
func balanced(ohm float64, stage studio.Stage) studio.Line {
	l := single(ohm)
	l.Balanced, l.Stage = true, stage
	return l
}

func single(ohm float64) studio.Line {
	return studio.Line{Name: "test", Kind: studio.LineLevel, Source: measure.Impedance(ohm), Load: measure.Impedance(ohm)}
}

// netFor is one place with an output and inputs.
func netFor(out studio.Line, inputs ...studio.Line) *net {
	n := &net{places: 1, outputs: []terminal{{point: name.At("a", "out", 1), line: out, known: true}}}
	for i, in := range inputs {
		n.inputs = append(n.inputs, terminal{point: name.At("b", "in", i+1), line: in, known: true})
	}
	return n
}

// over puts a cable between the output and everything else.
func (n *net) over(kind studio.Cable, length float64, cold studio.Cold) *net {
	n.places = 2
	for i := range n.inputs {
		n.inputs[i].place = 1
	}
	for i := range n.outputs[1:] {
		n.outputs[i+1].place = 1
	}
	n.cables = append(n.cables, cable{a: 0, b: 1, kind: kind, length: measure.Length(math.Round(length * float64(measure.Metre))), cold: cold})
	return n
}

// signal is a kind of cable whose cores alone have capacitance: what a signal
// sees.
func signal(pF float64) studio.Cable { return studio.Cable{Cores: measure.Capacity(pF)} }

const (
	unsaid      = studio.StageUnsaid
	active      = studio.ActiveStage
	transformer = studio.TransformerStage
	cross       = studio.CrossCoupledStage
	onHot       = studio.ImpedanceStage
)

func (n *net) grounds() *net {
	n.plugs = append(n.plugs, plug{place: n.places - 1})
	return n
}

func (n *net) silent(l studio.Line) *net {
	n.outputs = append(n.outputs, terminal{point: name.At("c", "out", 1), line: l, place: n.places - 1, known: true})
	return n
}

// The values that others published or computed, each beside its source, for one
// volt of the open output. D is derived from the voltage divider, C computed
// with an independent simulator.
func TestPublishedValues(t *testing.T) {
	pro := balanced(10e3, unsaid)
	for _, test := range []struct {
		name   string
		net    *net
		input  int
		hertz  float64
		want   float64
		within float64
	}{
		// The page "skin effect in coax", 8, of audiomisc: 0.206 and 0.209 dB.
		{"600 ohm into 25 kohm", netFor(balanced(600, unsaid), balanced(25e3, unsaid)), 0, 1e3, -0.2060, 6e-5},
		{"with 300.5 pF, at 25 kHz", netFor(balanced(600, unsaid), balanced(25e3, unsaid)).over(signal(300.5), 1, studio.ColdUnsaid), 0, 25e3, -0.2093, 6e-5},
		// An encyclopedia's page "Impedance bridging", and C.
		{"600 into 600", netFor(balanced(600, unsaid), balanced(600, unsaid)), 0, 1e3, -6.0206, 5e-5},
		{"50 into 10k", netFor(balanced(50, unsaid), pro), 0, 1e3, -0.0433, 5e-5},
		{"active 100 into unbalanced 10k, cold grounded", netFor(balanced(100, active), single(10e3)), 0, 1e3, -6.0639, 5e-5},                                                                                                               // D
		{"active 100 into unbalanced 10k, cold open", netFor(balanced(100, active), single(10e3)).over(studio.Cable{}, 1, studio.ColdOpen), 0, 1e3, -6.0639, 5e-5},                                                                          // D
		{"transformer 100 into unbalanced 10k", netFor(balanced(100, transformer), single(10e3)), 0, 1e3, -0.0864, 5e-5},                                                                                                                    // D; Ballou, Handbook for Sound Engineers, from memory
		{"cross-coupled 100 into unbalanced 10k", netFor(balanced(100, cross), single(10e3)), 0, 1e3, -0.0864, 5e-5},                                                                                                                        // D
		{"impedance 100 into balanced 10k", netFor(balanced(100, onHot), pro), 0, 1e3, -0.0864, 5e-5},                                                                                                                                       // D
		{"active 100, 10k, and a two-pole tap: the first", netFor(balanced(100, active), pro, single(10e3)).grounds(), 0, 1e3, -6.1070, 5e-5},                                                                                               // D
		{"active 100, 10k, and a two-pole tap: the tap", netFor(balanced(100, active), pro, single(10e3)).grounds(), 1, 1e3, -6.1070, 5e-5},                                                                                                 // D
		{"impedance 100, the same tap: each has two inputs on half of the impedance", netFor(balanced(100, onHot), pro, single(10e3)).grounds(), 0, 1e3, -0.0864, 5e-5},                                                                     // D
		{"a tap: 100 into two 10k", netFor(balanced(100, unsaid), pro, pro), 1, 1e3, -0.1720, 6e-5},                                                                                                                                         // C
		{"microphone 150 into 1.5k", netFor(balanced(150, unsaid), balanced(1500, unsaid)), 0, 1e3, -0.8279, 5e-5},                                                                                                                          // C
		{"microphone 150 into two of 1.5k", netFor(balanced(150, unsaid), balanced(1500, unsaid), balanced(1500, unsaid)), 0, 1e3, -1.5836, 5e-5},                                                                                           // C
		{"600, 10k, 100 m: 1 kHz", netFor(balanced(600, unsaid), pro).over(signal(100), 100, studio.ColdUnsaid), 0, 1e3, -0.5116, 5e-5},                                                                                                     // C
		{"600, 10k, 100 m: 20 kHz", netFor(balanced(600, unsaid), pro).over(signal(100), 100, studio.ColdUnsaid), 0, 20e3, -2.2842, 5e-5},                                                                                                   // C
		{"instrument 10k, 6 m, 1 Mohm: 1 kHz", netFor(single(10e3), single(1e6)).over(signal(120), 6, studio.ColdUnsaid), 0, 1e3, -0.0951, 5e-5},                                                                                            // C
		{"instrument 10k, 6 m, 1 Mohm: 20 kHz", netFor(single(10e3), single(1e6)).over(signal(120), 6, studio.ColdUnsaid), 0, 20e3, -2.6452, 5e-5},                                                                                          // C
		{"150 active, 50 m, unbalanced 1.5k: 1 kHz", netFor(balanced(150, active), single(1500)).over(studio.Cable{Cores: 60, Shield: 120}, 50, studio.ColdUnsaid), 0, 1e3, -6.4445, 5e-5},                                                  // C
		{"150 active, 50 m, unbalanced 1.5k: 20 kHz", netFor(balanced(150, active), single(1500)).over(studio.Cable{Cores: 60, Shield: 120}, 50, studio.ColdUnsaid), 0, 20e3, -6.4726, 5e-5},                                                // C
		{"loudspeaker 8 ohm, 0.1 ohm, 20 m of 1.5 mm2 (13.3 ohm/km, IEC 60228 class 5)", netFor(balanced(0.1, transformer), balanced(8, transformer)).over(studio.Cable{Resistance: 0.0133}, 20, studio.ColdUnsaid), 0, 1e3, -0.6604, 5e-5}, // D
		{"home-line 1k into two of 22k, 10 m: 1 kHz", netFor(single(1e3), single(22e3), single(22e3)).over(signal(100), 10, studio.ColdUnsaid), 0, 1e3, -0.7559, 5e-5},                                                                      // C
		{"home-line 1k into two of 22k, 10 m: 20 kHz", netFor(single(1e3), single(22e3), single(22e3)).over(signal(100), 10, studio.ColdUnsaid), 1, 20e3, -0.8130, 5e-5},                                                                    // C
		{"outputs joined: 100, and 100 silent, 10k", netFor(balanced(100, active), pro).silent(balanced(100, active)), 0, 1e3, -6.0639, 5e-5},                                                                                               // C
		{"outputs joined: 100, and 600 silent, 10k", netFor(balanced(100, active), pro).silent(balanced(600, active)), 0, 1e3, -1.4131, 5e-5},                                                                                               // C
		{"headphones 120 into 32", netFor(single(120), single(32)), 0, 1e3, -13.5339, 5e-5},                                                                                                                                                 // D
		{"headphones 10 into four of 64", netFor(single(10), single(64), single(64), single(64), single(64)), 3, 1e3, -4.2171, 5e-5},                                                                                                        // D
		{"1 ohm and 1 uF at 20 kHz", netFor(single(1), single(1e9)).over(signal(1e6), 1, studio.ColdUnsaid), 0, 20e3, -0.0680, 5e-5},                                                                                                        // D
		{"old 2k into three of 10k, 30 m: 1 kHz", netFor(balanced(2e3, unsaid), pro, pro, pro).over(signal(100), 30, studio.ColdUnsaid), 0, 1e3, -4.0848, 5e-5},                                                                             // C
		{"old 2k into three of 10k, 30 m: 20 kHz", netFor(balanced(2e3, unsaid), pro, pro, pro).over(signal(100), 30, studio.ColdUnsaid), 2, 20e3, -4.9534, 1e-4},                                                                           // C
	} {
		t.Run(test.name, func(t *testing.T) {
			for _, stage := range []studio.Stage{active, transformer, onHot} {
				if test.net.outputs[0].line.Stage != unsaid && stage != active {
					continue
				}
				got := decibel(newResponse(test.net, 0, stage).magnitude(test.input, test.hertz))
				if math.Abs(got-test.want) > test.within {
					t.Errorf("%s: %.4f dB, want %.4f", stage, got, test.want)
				}
			}
		})
	}
}

func TestPublishedCorners(t *testing.T) {
	for _, test := range []struct {
		name string
		net  *net
		want float64
	}{
		// The page "signal loss" of audiocalcs: around 16 kHz.
		{"10 kohm, 1000 pF", netFor(single(10e3), single(1e9)).over(signal(1000), 1, studio.ColdUnsaid), 15915},
		{"600, 10k, 100 m", netFor(balanced(600, unsaid), balanced(10e3, unsaid)).over(signal(100), 100, studio.ColdUnsaid), 28117},                                                               // C
		{"instrument 10k, 6 m, 1 Mohm", netFor(single(10e3), single(1e6)).over(signal(120), 6, studio.ColdUnsaid), 22326},                                                                         // C
		{"old 2k into three of 10k, 30 m", netFor(balanced(2e3, unsaid), balanced(10e3, unsaid), balanced(10e3, unsaid), balanced(10e3, unsaid)).over(signal(100), 30, studio.ColdUnsaid), 42440}, // C
	} {
		r := newResponse(test.net, 0, active)
		f, ok := corner(func(hertz float64) float64 { return r.magnitude(0, hertz) })
		if !ok || math.Abs(f/test.want-1) > 1e-4 {
			t.Errorf("%s: %.1f Hz, want %.0f", test.name, f, test.want)
		}
		// At half of the corner a single pole has lost 0.9691 dB: for 1 dB take
		// double the cutoff (sengpielaudio).
		if got := decibel(r.magnitude(0, f/2) / r.magnitude(0, 0)); math.Abs(got+0.9691) > 1e-4 {
			t.Errorf("%s: %.4f dB at half of the corner", test.name, got)
		}
	}
}
