package listen

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"time"

	"bayhand/model/name"
	"bayhand/model/reading"
	"bayhand/model/suspect"
	"bayhand/recall/disk"
)

// Kept is a reading that was kept as good, in a file beside its session.
type Kept struct {
	Session string      `json:"session"`
	Made    string      `json:"made"`
	Rate    int         `json:"rate"`
	Paths   []KeptPath  `json:"paths"`
	Inputs  []InputJSON `json:"inputs"`
}

// KeptPath is one output at one input of it.
type KeptPath struct {
	Output    name.Point `json:"output"`
	Input     name.Point `json:"input"`
	Level     float64    `json:"level"`
	Polarity  string     `json:"polarity"`
	Delay     float64    `json:"delay"`
	Smeared   bool       `json:"smeared"`
	Coherence float64    `json:"coherence"`
	Band      [2]float64 `json:"band"`
}

// ErrNotKept is a reading that is no reference: the room is not as it should be.
var ErrNotKept = errors.New("the reading is not kept: the room is not as it should be; mend it and listen again")

// Keep writes the reading into a file as the session's reference of a day; one with
// findings is not one to go by (ErrNotKept), but for hum: kept, it is that of the room,
// and only what hums more is told from then on.
func (v *Answer) Keep(file string, day time.Time) error {
	if !v.patched() || slices.ContainsFunc(v.Troubles(), func(t Trouble) bool { return t.Code != "hum" }) {
		return ErrNotKept
	}
	src, err := json.MarshalIndent(v.Record(day), "", "  ")
	if err != nil {
		return err
	}
	return disk.Replace(file, append(src, '\n'), nil)
}

// Record is the reading of a day as it would be kept, whatever was found.
func (v *Answer) Record(day time.Time) *Kept {
	r := &Kept{Session: v.Plan.Session.Name, Made: day.Format("2006-01-02"), Rate: v.Reading.Rate, Paths: []KeptPath{}, Inputs: []InputJSON{}}
	for i, paths := range v.Paths {
		r.Inputs = append(r.Inputs, newInput(v.Scene.Inputs[i], v.Reading.Inputs[i]))
		for o, p := range paths {
			if p.Found {
				r.Paths = append(r.Paths, KeptPath{v.Scene.Outputs[o], v.Scene.Inputs[i], p.Level, p.Polarity.String(), p.Delay, p.Smeared, p.Coherence, [2]float64{p.Low, p.High}})
			}
		}
	}
	return r
}

// LoadKept reads what was kept; nil where there is no file.
func LoadKept(file string) (*Kept, error) {
	src, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	r := &Kept{}
	if err := json.Unmarshal(src, r); err != nil {
		return nil, fmt.Errorf("%s makes no sense: %w; take it away, and make it again with --keep", file, err)
	}
	return r, nil
}

// Reference is a reading that was good, as it is compared with. A nil one is none.
type Reference struct {
	Paths map[suspect.Pair]reading.Path
	// hum is that of each input in dBFS rms.
	hum map[name.Point]float64
}

// LoadReference reads a reference; nil where there is no file.
func LoadReference(file string) (*Reference, error) {
	r, err := LoadKept(file)
	if r == nil || err != nil {
		return nil, err
	}
	kept := &Reference{map[suspect.Pair]reading.Path{}, map[name.Point]float64{}}
	for _, p := range r.Paths {
		polarity := map[string]reading.Polarity{"+": reading.Kept, "-": reading.Reversed}[p.Polarity]
		kept.Paths[suspect.Pair{Output: p.Output, Input: p.Input}] = reading.Path{Found: true, Level: p.Level, Polarity: polarity,
			Delay: p.Delay, Smeared: p.Smeared, Coherence: p.Coherence, Low: p.Band[0], High: p.Band[1]}
	}
	for _, in := range r.Inputs {
		var lines []reading.Line
		for _, h := range in.Hum {
			lines = append(lines, reading.Line(h))
		}
		kept.hum[in.Input] = humLevel(lines)
	}
	return kept, nil
}

// paths are those of the reference.
func (r *Reference) paths() map[suspect.Pair]reading.Path {
	if r == nil {
		return nil
	}
	return r.Paths
}

// humAt is the hum that an input had, and whether the reference knows it.
func (r *Reference) humAt(input name.Point) (level float64, known bool) {
	if r == nil {
		return 0, false
	}
	level, known = r.hum[input]
	return level, known
}
