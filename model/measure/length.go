// Package measure holds the quantities of a studio with their units: lengths,
// signal levels and impedances. Printing and parsing are inverse.
package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Length is a distance in nanometres, so that 7.9375 mm and 44.45 mm are exact.
// It reaches 9 million km either way; files use up to 1 km.
type Length int64

// Units of length.
const (
	Micrometre Length = 1000
	Millimetre        = 1000 * Micrometre
	Centimetre        = 10 * Millimetre
	Metre             = 1000 * Millimetre
	// RackUnit is the height of one unit of a rack: 44.45 mm (EIA-310-D,
	// IEC 60297-3-100).
	RackUnit = 44450 * Micrometre
)

const longest = 1000 * Metre

// ParseLength reads a number with the unit mm, cm or m, such as "7.9 mm".
func ParseLength(text string) (Length, error) {
	digits := strings.TrimRight(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
	unit, ok := map[string]Length{"mm": Millimetre, "cm": Centimetre, "m": Metre}[text[len(digits):]]
	if !ok {
		return 0, fmt.Errorf("%q is not a length; write a number and mm, cm or m, such as 60 cm", text)
	}
	value, err := strconv.ParseFloat(strings.TrimSpace(digits), 64)
	if err != nil || math.IsNaN(value) || math.IsInf(value, 0) {
		return 0, fmt.Errorf("%q is not a length; write a number and mm, cm or m, such as 60 cm", text)
	}
	exact := value * float64(unit)
	if math.Abs(exact) > float64(longest) {
		return 0, fmt.Errorf("%q is longer than 1 km", text)
	}
	return Length(math.Round(exact)), nil
}

// inMetres is from where on people say metres; patch cords are below it.
const inMetres = 2 * Metre

// String prints in the unit that a person would choose: metres from 2 m on, below that
// cm for whole centimetres, else mm; with as many decimals as are needed. ParseLength
// reads it back as the same length.
func (l Length) String() string {
	if l >= inMetres || l <= -inMetres {
		return in(l, Metre) + " m"
	}
	return l.small()
}

// small prints in cm for whole centimetres, else in mm.
func (l Length) small() string {
	if l%Centimetre == 0 {
		return in(l, Centimetre) + " cm"
	}
	return in(l, Millimetre) + " mm"
}

func in(l, unit Length) string {
	return strconv.FormatFloat(float64(l)/float64(unit), 'f', -1, 64)
}

// MarshalText writes the length as files have it, in cm or mm however long it is; zero,
// which means that nothing was said, is empty.
func (l Length) MarshalText() ([]byte, error) {
	if l == 0 {
		return nil, nil
	}
	return []byte(l.small()), nil
}

// UnmarshalText reads what MarshalText wrote.
func (l *Length) UnmarshalText(text []byte) (err error) {
	if len(text) == 0 {
		*l = 0
		return nil
	}
	*l, err = ParseLength(string(text))
	return err
}
