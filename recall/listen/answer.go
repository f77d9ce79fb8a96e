package listen

import (
	"math"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/reading"
	"bayhand/model/suspect"
)

// Answer is what listening to the room has shown.
type Answer struct {
	Plan    *Plan
	Scene   *suspect.Scene
	Reading *reading.Reading
	// Paths holds for each input of the scene the path from each of its outputs.
	Paths   [][]reading.Path
	picture []suspect.Class
	Found   suspect.Answer
	Strays  []Stray
	// Probed is what was switched to tell causes apart; nil for none.
	Probed *Probing
	// Followed are findings of the time before with the causes that a listening plug leaves.
	Followed []suspect.Finding
	// Learnt is what the keeper was told of it, by Tell.
	Learnt  Learnt
	Seconds float64
	// Level is that of the pass which was read, in dBFS rms.
	Level float64
	// Shift is by how many dB all levels were off together.
	Shift float64
	// Nothing says that no output was found at all.
	Nothing bool
	// Quieter is why the second, louder pass was not played; empty where it was, or
	// where none was asked for.
	Quieter string
	// Halted is the safety stop of the second pass; nil where it came to its end.
	Halted *Halted
}

// AsItShould says whether the room is as it was told, as far as it was heard.
func (v *Answer) AsItShould() bool { return v.patched() && len(v.Troubles()) == 0 }

// patched says whether every path is as it should be.
func (v *Answer) patched() bool {
	return !v.Nothing && v.Halted == nil && len(v.Found.Findings) == 0 && len(v.Found.Unexplained) == 0 && len(v.Strays) == 0
}

// Lacking is why the patch that was compared with does not give the session: that a
// room is as it was told does not make it the one that is wanted.
func (v *Answer) Lacking() []heard.Fault {
	l := v.Plan
	if l.Session.Name == "" {
		return nil
	}
	return l.Room.CheckGiven(l.Session, l.Patch, nil)
}

// JSON is an answer in JSON. Levels are in dB, delays in samples; lists are never null.
type JSON struct {
	Session     string         `json:"session"`
	AsItShould  bool           `json:"asItShould"`
	Given       bool           `json:"given"`
	Level       float64        `json:"level"`
	Quieter     string         `json:"quieter"`
	Seconds     float64        `json:"seconds"`
	Rate        int            `json:"rate"`
	Clock       float64        `json:"clock"`
	Shift       float64        `json:"shift"`
	Paths       []PathJSON     `json:"paths"`
	Inputs      []InputJSON    `json:"inputs"`
	Findings    []FindingJSON  `json:"findings"`
	Followed    []FindingJSON  `json:"followed"`
	Troubles    []Trouble      `json:"troubles"`
	Heavier     []Heavier      `json:"heavier"`
	Seen        [][]name.Point `json:"seen"`
	Sure        [][]name.Point `json:"sure"`
	Unseen      [][]name.Point `json:"unseen"`
	Measured    [][]name.Point `json:"measured"`
	Doubted     [][]name.Point `json:"doubted"`
	Unexplained []HeardJSON    `json:"unexplained"`
	Stray       []HeardJSON    `json:"stray"`
}

// PathJSON is one output at one input.
type PathJSON struct {
	Output    name.Point `json:"output"`
	Input     name.Point `json:"input"`
	Found     bool       `json:"found"`
	Level     float64    `json:"level"`
	Polarity  string     `json:"polarity"`
	Delay     float64    `json:"delay"`
	Stat      float64    `json:"stat"`
	Coherence float64    `json:"coherence"`
	Band      [2]float64 `json:"band"`
	ShouldBe  struct {
		Found bool    `json:"found"`
		Level float64 `json:"level"`
	} `json:"shouldBe"`
	Class string `json:"class"`
}

// InputJSON is one input as a whole; levels are in dBFS rms.
type InputJSON struct {
	Input   name.Point `json:"input"`
	Noise   float64    `json:"noise"`
	Level   float64    `json:"level"`
	Hum     []LineJSON `json:"hum"`
	Changes bool       `json:"changes"`
	Clipped bool       `json:"clipped"`
}

// LineJSON is hum, in hertz and dBFS rms.
type LineJSON struct {
	Frequency float64 `json:"frequency"`
	Level     float64 `json:"level"`
}

// FindingJSON is one finding, with what else it may be.
type FindingJSON struct {
	Code     suspect.Code `json:"code"`
	Severity string       `json:"severity"`
	Cost     float64      `json:"cost"`
	Message  string       `json:"message"`
	At       []name.Point `json:"at"`
	Guess    bool         `json:"guess"`
	OrElse   []CauseJSON  `json:"orElse"`
	// RuledOut is how many causes the delays of the reference rule out.
	RuledOut int `json:"ruledOut"`
	// Probe is what would tell the causes apart; null where nothing is known to.
	Probe *ProbeJSON `json:"probe"`
}

// ProbeJSON is a listening plug: a cord between two jacks, put in to hear more.
type ProbeJSON struct {
	Do   string       `json:"do"`
	Ends []name.Point `json:"ends"`
	// Without are the ends of a cord that comes out for it; empty for none.
	Without []name.Point `json:"without"`
}

// CauseJSON is another cause of the same reading.
type CauseJSON struct {
	Code suspect.Code `json:"code"`
	At   []name.Point `json:"at"`
}

// HeardJSON is a pair that is heard otherwise than it should be.
type HeardJSON struct {
	Output name.Point `json:"output"`
	Input  name.Point `json:"input"`
	Was    string     `json:"was"`
	Is     string     `json:"is"`
}

// JSON is the answer as it is given to a program.
func (v *Answer) JSON() JSON {
	say := In(v.Plan.Room.Studio())
	j := JSON{
		Session: v.Plan.Session.Name, AsItShould: v.AsItShould(), Given: len(v.Lacking()) == 0, Level: v.Level, Quieter: v.Quieter, Seconds: round(v.Seconds, 100), Rate: v.Reading.Rate,
		Clock: round(v.Reading.Clock, 1000), Shift: round(v.Shift, 100), Paths: []PathJSON{}, Inputs: []InputJSON{},
		Findings: []FindingJSON{}, Followed: []FindingJSON{}, Troubles: append([]Trouble{}, v.Troubles()...), Heavier: append([]Heavier{}, v.Heavier()...), Unexplained: heardPairs(v.Found.Unexplained), Stray: []HeardJSON{},
		Seen: ends(v.Found.Seen), Sure: ends(v.Found.Sure), Unseen: ends(v.Found.Unseen), Measured: ends(v.Learnt.Measured), Doubted: ends(v.Learnt.Doubted),
	}
	for _, s := range v.Strays {
		j.Stray = append(j.Stray, HeardJSON{s.Output, s.Input, "not played", "heard"})
	}
	for _, f := range v.Found.Findings {
		j.Findings = append(j.Findings, v.findingOf(f, say, true))
	}
	for _, f := range v.Followed {
		j.Followed = append(j.Followed, v.findingOf(f, say, false))
	}
	for i, in := range v.Reading.Inputs {
		j.Inputs = append(j.Inputs, newInput(v.Scene.Inputs[i], in))
		for o, p := range v.Paths[i] {
			if e := v.Scene.Expected(o, i); p.Found || e.Class != suspect.Absent {
				j.Paths = append(j.Paths, v.pathOf(o, i, p, e))
			}
		}
	}
	return j
}

func (v *Answer) findingOf(f suspect.Finding, say *Wording, probes bool) FindingJSON {
	one := FindingJSON{Code: f.Code, Severity: "error", Cost: f.Cost, Message: say.Mistake(f.Mistake), At: f.At, Guess: f.Guess, OrElse: []CauseJSON{}, RuledOut: f.RuledOut}
	for _, m := range f.OrElse {
		one.OrElse = append(one.OrElse, CauseJSON{m.Code, m.At})
	}
	if !probes {
		return one
	}
	if p, ok := v.Scene.Probe(f); ok {
		one.Probe = &ProbeJSON{"listen", []name.Point{p.At, p.Into}, []name.Point{}}
		if p.Instead != (patch.Cord{}) {
			one.Probe.Without = p.Instead.Ends()
		}
	}
	return one
}

func (v *Answer) pathOf(o, i int, p reading.Path, e suspect.Expectation) PathJSON {
	j := PathJSON{Output: v.Scene.Outputs[o], Input: v.Scene.Inputs[i], Found: p.Found, Polarity: p.Polarity.String(),
		Stat: round(p.Statistic, 10), Class: v.picture[i*len(v.Scene.Outputs)+o].String()}
	if p.Found {
		j.Level, j.Delay, j.Coherence = round(p.Level, 100), round(p.Delay, 100), round(p.Coherence, 1000)
		j.Band = [2]float64{round(p.Low, 1), round(p.High, 1)}
	}
	j.ShouldBe.Found = e.Class != suspect.Absent
	if e.Judged {
		j.ShouldBe.Level = round(e.Level, 100)
	}
	return j
}

func newInput(at name.Point, in reading.Input) InputJSON {
	j := InputJSON{Input: at, Noise: round(in.Noise, 10), Level: round(in.Level, 10), Hum: []LineJSON{}, Changes: in.Changes, Clipped: in.Clipped}
	for _, h := range in.Hum {
		j.Hum = append(j.Hum, LineJSON{h.Frequency, round(h.Level, 10)})
	}
	return j
}

func heardPairs(all []suspect.Heard) []HeardJSON {
	pairs := []HeardJSON{}
	for _, h := range all {
		pairs = append(pairs, HeardJSON{h.Output, h.Input, h.Was.String(), h.Is.String()})
	}
	return pairs
}

func ends(cords []patch.Cord) [][]name.Point {
	all := [][]name.Point{}
	for _, c := range cords {
		all = append(all, c.Ends())
	}
	return all
}

func round(v, parts float64) float64 { return math.Round(v*parts) / parts }
