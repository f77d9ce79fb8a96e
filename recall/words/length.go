package words

import (
	"strconv"

	"bayhand/model/measure"
)

// Metres is the length of a cable as a person says it: 10 m, 2.5 m, 60 cm.
func Metres(l measure.Length) string {
	if l < measure.Metre {
		return l.String()
	}
	return strconv.FormatFloat(float64(l/measure.Centimetre)/100, 'f', -1, 64) + " m"
}
