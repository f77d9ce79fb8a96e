package level

import (
	"encoding/json"
	"math"
	"strconv"
)

// Range is a quantity of which two ends are known; they are the same where it
// is known exactly.
type Range struct {
	Low, High float64
}

// exactly is a range of one value.
func exactly(v float64) Range { return Range{v, v} }

// apart is from where on both ends of a range differ to a person, in dB.
const apart = 0.05

// Exact says whether both ends are the same to a person.
func (r Range) Exact() bool { return r.High-r.Low < apart }

// Plus shifts a range.
func (r Range) Plus(v float64) Range { return Range{r.Low + v, r.High + v} }

// add adds ranges end by end.
func (r Range) add(o Range) Range { return Range{r.Low + o.Low, r.High + o.High} }

// negative turns a range around.
func (r Range) negative() Range { return Range{-r.High, -r.Low} }

// include widens a range to hold a value.
func (r Range) include(v float64) Range { return Range{math.Min(r.Low, v), math.Max(r.High, v)} }

// MarshalJSON writes a number, or [low, high] where they differ; to a
// ten-thousandth.
func (r Range) MarshalJSON() ([]byte, error) {
	if r.Exact() {
		return []byte(decimal(r.Low)), nil
	}
	return json.Marshal([]json.RawMessage{json.RawMessage(decimal(r.Low)), json.RawMessage(decimal(r.High))})
}

func decimal(v float64) string {
	v = math.Round(v*1e4) / 1e4
	if v == 0 {
		v = 0 // no minus before it
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
