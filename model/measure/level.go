package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Level is the level of a signal in dBu: decibels over sqrt(0.6) V rms, the
// voltage of 1 mW in 600 ohm.
type Level float64

// dBV in dBu: 20 log10(1 V / sqrt(0.6) V) = 2.2185 dB, from the definitions.
var dBV = -10 * math.Log10(0.6)

// ParseLevel reads a number with the unit dBu or dBV, such as "+4 dBu".
func ParseLevel(text string) (Level, error) {
	for unit, offset := range map[string]float64{"dBu": 0, "dBV": dBV} {
		number, ok := strings.CutSuffix(text, unit)
		if !ok {
			continue
		}
		value, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err == nil && math.Abs(value) <= 200 {
			return Level(value + offset), nil
		}
	}
	return 0, fmt.Errorf("%q is not a level; write a number and dBu or dBV, such as +4 dBu", text)
}

// Volts is the level as an rms voltage.
func (l Level) Volts() float64 { return math.Sqrt(0.6) * math.Pow(10, float64(l)/20) }

// String prints in dBu, to a hundredth.
func (l Level) String() string {
	rounded := math.Round(float64(l)*100) / 100
	return strconv.FormatFloat(rounded, 'f', -1, 64) + " dBu"
}

// Impedance is in ohm.
type Impedance float64

// ParseImpedance reads a number with the unit ohm, kohm or Mohm, such as
// "10 kohm".
func ParseImpedance(text string) (Impedance, error) {
	// "ohm" ends each of them, so the longer units are tried first.
	for _, unit := range []struct {
		name  string
		times float64
	}{{"kohm", 1e3}, {"Mohm", 1e6}, {"ohm", 1}} {
		number, ok := strings.CutSuffix(text, unit.name)
		if !ok {
			continue
		}
		value, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err == nil && value >= 0 && value <= 1e9 {
			return Impedance(value * unit.times), nil
		}
		break
	}
	return 0, fmt.Errorf("%q is not an impedance; write a number and ohm, kohm or Mohm, such as 10 kohm", text)
}

// String prints in the largest unit that leaves a number of 1 or more.
func (z Impedance) String() string {
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	switch v := float64(z); {
	case v >= 1e6:
		return number(v/1e6) + " Mohm"
	case v >= 1e3:
		return number(v/1e3) + " kohm"
	default:
		return number(v) + " ohm"
	}
}
