package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Capacity is what a metre of cable holds, in picofarad.
type Capacity float64

// ParseCapacity reads a number with the unit pF/m or nF/km, which are the same,
// such as "60 pF/m".
func ParseCapacity(text string) (Capacity, error) {
	for _, unit := range []string{"pF/m", "nF/km"} {
		if value, ok := withUnit(text, unit); ok && value <= 1e5 {
			return Capacity(value), nil
		}
	}
	return 0, fmt.Errorf("%q is not the capacitance of a cable; write a number and pF/m, such as 60 pF/m", text)
}

// FaradPerMetre is the capacity in units of the SI.
func (c Capacity) FaradPerMetre() float64 { return float64(c) * 1e-12 }

// String prints in pF/m.
func (c Capacity) String() string {
	return strconv.FormatFloat(float64(c), 'f', -1, 64) + " pF/m"
}

// Resistivity is what a metre of one core resists, in ohm.
type Resistivity float64

// ParseResistivity reads a number with the unit ohm/m or ohm/km, such as
// "0.08 ohm/m".
func ParseResistivity(text string) (Resistivity, error) {
	if value, ok := withUnit(text, "ohm/m"); ok && value <= 1e3 {
		return Resistivity(value), nil
	}
	if value, ok := withUnit(text, "ohm/km"); ok && value <= 1e6 {
		return Resistivity(math.Round(value*1e9) / 1e12), nil // 13.3 ohm/km is 0.0133 ohm/m
	}
	return 0, fmt.Errorf("%q is not the resistance of a core; write a number and ohm/m or ohm/km, such as 0.08 ohm/m", text)
}

// String prints in ohm/m.
func (r Resistivity) String() string {
	return strconv.FormatFloat(float64(r), 'f', -1, 64) + " ohm/m"
}

// withUnit is the number before a unit, 0 or more; ok is false for any other
// text.
func withUnit(text, unit string) (value float64, ok bool) {
	number, ok := strings.CutSuffix(text, unit)
	if !ok {
		return 0, false
	}
	value, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	return value, err == nil && value >= 0 && !math.IsInf(value, 0)
}
