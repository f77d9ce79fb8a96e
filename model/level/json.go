package level

import (
	"encoding/json"
	"math"

	"bayhand/model/measure"
	"bayhand/model/name"
)

// written is an arrival as programs read it: dBu, dB, ohm, Hz and mm. What is not
// known is absent.
type written struct {
	Destination name.Point `json:"destination"`
	Source      name.Point `json:"source"`
	Arrives     Range      `json:"arrives"`
	Wants       float64    `json:"wants"`
	Over        Range      `json:"over"`
	Clips       name.Point `json:"clips"`
	Headroom    Range      `json:"headroom"`
	Load        *float64   `json:"load,omitempty"`
	Ratio       *float64   `json:"ratio,omitempty"`
	Loss        Range      `json:"loss"`
	Treble      *Range     `json:"at20k,omitempty"`
	Corner      *float64   `json:"f3,omitempty"`
	Length      *float64   `json:"length,omitempty"`
	Estimated   bool       `json:"estimated,omitempty"`
	// Joined are other outputs on the way, and Known what is not known.
	Joined []name.Point `json:"joined"`
	Known  []string     `json:"known"`
}

// MarshalJSON writes an arrival as programs read it.
func (a Arrival) MarshalJSON() ([]byte, error) {
	out := written{
		Destination: a.Destination.Point, Source: a.Source.Point, Arrives: a.Arrives, Wants: round(float64(a.Wants)), Over: a.Over,
		Clips: a.Clips, Headroom: a.Headroom, Loss: a.Loss, Treble: a.Treble, Estimated: a.Estimated,
		Joined: append([]name.Point{}, a.Joined...), Known: append([]string{}, a.Known...),
	}
	if a.Load != nil {
		out.Load = rounded(float64(*a.Load))
	}
	if a.Ratio != nil {
		out.Ratio = rounded(*a.Ratio)
	}
	if a.Corner != nil {
		out.Corner = rounded(*a.Corner)
	}
	if a.Length != nil {
		out.Length = rounded(float64(*a.Length) / float64(measure.Millimetre))
	}
	return json.Marshal(out)
}

func round(v float64) float64 { return math.Round(v*1e4) / 1e4 }

func rounded(v float64) *float64 {
	v = round(v)
	return &v
}
