package level_test

import (
	"math"
	"testing"

	"bayhand/model/level"
	"bayhand/model/measure"
)

// The divider's loss is 20 log10(ZL / (ZS + ZL)) (Ballou, Handbook for Sound
// Engineers); the pairs of impedances are the usual ones: matched 600 ohm, a line
// output into a bridging input, a microphone at ten times its impedance.
func TestDivided(t *testing.T) {
	for _, c := range []struct {
		source, load measure.Impedance
		want         float64 // dB lost
	}{
		{600, 600, 6.0206},
		{50, 10e3, 0.0433},
		{150, 10e3, 0.1293},
		{150, 1.5e3, 0.8279},
		{600, 10e3, 0.5061},
		{200, 1e3, 1.5836},
		{10e3, 10e3, 6.0206},
	} {
		if got := level.Divided(c.source, c.load); math.Abs(got-c.want) > 0.00005 {
			t.Errorf("%s into %s loses %.4f dB, want %.4f", c.source, c.load, got, c.want)
		}
	}
}
