package main

import (
	"math"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/reading"
	"bayhand/model/suspect"
)

// verified is what listening to the room has shown.
type verified struct {
	listening *listening
	scene     *suspect.Scene
	reading   *reading.Reading
	paths     [][]reading.Path
	picture   []suspect.Class
	found     suspect.Answer
	stray     []stray
	learnt    learnt
	seconds   float64
	// shift is by how many dB all levels were off together.
	shift float64
	// nothing says that no output was found at all.
	nothing, whole bool
}

// asItShould says whether the room is as it was told, as far as it was heard.
func (v *verified) asItShould() bool {
	return !v.nothing && len(v.found.Findings) == 0 && len(v.found.Unexplained) == 0 && len(v.stray) == 0 && len(v.troubles()) == 0
}

// lacking is why the patch that was compared with does not give the session: that a
// room is as it was told does not make it the one that is wanted.
func (v *verified) lacking() []heard.Fault {
	l := v.listening
	if l.session.Name == "" {
		return nil
	}
	return l.room.CheckGiven(l.session, l.patch, nil)
}

// trouble is something about an input as a whole.
type trouble struct {
	Code  string     `json:"code"`
	Input name.Point `json:"input"`
	says  string
}

func (v *verified) troubles() []trouble {
	var found []trouble
	for i, in := range v.reading.Inputs {
		at := v.scene.Inputs[i]
		if in.Remains {
			found = append(found, trouble{"goes-round", at, "sound stayed after the end: something goes round"})
		}
		if in.Clipped {
			found = append(found, trouble{"clipped", at, "was at full scale; what is read there is not to be relied on"})
		}
		if in.Unnamed {
			found = append(found, trouble{"unnamed", at, "hears sound that came with the test sound, but no output can be named"})
		}
		for o, p := range v.paths[i] {
			if p.Found && p.Out > 0.02 && v.scene.Expected(o, i).Class != suspect.Absent {
				found = append(found, trouble{"comes-and-goes", at, "loses " + v.scene.Outputs[o].String() + " again and again: a contact that comes and goes"})
			}
		}
	}
	return found
}

// The answer in JSON. Levels are in dB, delays in samples; lists are never null.
type verifiedJSON struct {
	Session     string         `json:"session"`
	AsItShould  bool           `json:"asItShould"`
	Given       bool           `json:"given"`
	Seconds     float64        `json:"seconds"`
	Rate        int            `json:"rate"`
	Clock       float64        `json:"clock"`
	Shift       float64        `json:"shift"`
	Paths       []pathJSON     `json:"paths"`
	Inputs      []inputJSON    `json:"inputs"`
	Findings    []foundJSON    `json:"findings"`
	Troubles    []trouble      `json:"troubles"`
	Seen        [][]name.Point `json:"seen"`
	Sure        [][]name.Point `json:"sure"`
	Unseen      [][]name.Point `json:"unseen"`
	Measured    [][]name.Point `json:"measured"`
	Doubted     [][]name.Point `json:"doubted"`
	Unexplained []heardJSON    `json:"unexplained"`
	Stray       []heardJSON    `json:"stray"`
}

type pathJSON struct {
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

type inputJSON struct {
	Input   name.Point `json:"input"`
	Noise   float64    `json:"noise"`
	Level   float64    `json:"level"`
	Hum     []lineJSON `json:"hum"`
	Changes bool       `json:"changes"`
	Clipped bool       `json:"clipped"`
}

type lineJSON struct {
	Frequency float64 `json:"frequency"`
	Level     float64 `json:"level"`
}

type foundJSON struct {
	Code     suspect.Code `json:"code"`
	Severity string       `json:"severity"`
	Cost     float64      `json:"cost"`
	Message  string       `json:"message"`
	At       []name.Point `json:"at"`
	Guess    bool         `json:"guess"`
	OrElse   []causeJSON  `json:"orElse"`
}

type causeJSON struct {
	Code suspect.Code `json:"code"`
	At   []name.Point `json:"at"`
}

type heardJSON struct {
	Output name.Point `json:"output"`
	Input  name.Point `json:"input"`
	Was    string     `json:"was"`
	Is     string     `json:"is"`
}

func (v *verified) json(say *wording) verifiedJSON {
	j := verifiedJSON{
		Session: v.listening.session.Name, AsItShould: v.asItShould(), Given: len(v.lacking()) == 0, Seconds: round(v.seconds, 100), Rate: v.reading.Rate,
		Clock: round(v.reading.Clock, 1000), Shift: round(v.shift, 100), Paths: []pathJSON{}, Inputs: []inputJSON{},
		Findings: []foundJSON{}, Troubles: append([]trouble{}, v.troubles()...), Unexplained: heardPairs(v.found.Unexplained), Stray: []heardJSON{},
		Seen: ends(v.found.Seen), Sure: ends(v.found.Sure), Unseen: ends(v.found.Unseen), Measured: ends(v.learnt.measured), Doubted: ends(v.learnt.doubted),
	}
	for _, s := range v.stray {
		j.Stray = append(j.Stray, heardJSON{s.output, s.input, "not played", "heard"})
	}
	for _, f := range v.found.Findings {
		one := foundJSON{Code: f.Code, Severity: "error", Cost: f.Cost, Message: say.mistake(f.Mistake), At: f.At, Guess: f.Guess, OrElse: []causeJSON{}}
		for _, m := range f.OrElse {
			one.OrElse = append(one.OrElse, causeJSON{m.Code, m.At})
		}
		j.Findings = append(j.Findings, one)
	}
	for i, in := range v.reading.Inputs {
		j.Inputs = append(j.Inputs, inputOf(v.scene.Inputs[i], in))
		for o, p := range v.paths[i] {
			if e := v.scene.Expected(o, i); p.Found || e.Class != suspect.Absent {
				j.Paths = append(j.Paths, v.pathOf(o, i, p, e))
			}
		}
	}
	return j
}

func (v *verified) pathOf(o, i int, p reading.Path, e suspect.Expectation) pathJSON {
	j := pathJSON{Output: v.scene.Outputs[o], Input: v.scene.Inputs[i], Found: p.Found, Polarity: p.Polarity.String(),
		Stat: round(p.Statistic, 10), Class: v.picture[i*len(v.scene.Outputs)+o].String()}
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

func inputOf(at name.Point, in reading.Input) inputJSON {
	j := inputJSON{Input: at, Noise: round(in.Noise, 10), Level: round(in.Level, 10), Hum: []lineJSON{}, Changes: in.Changes, Clipped: in.Clipped}
	for _, h := range in.Hum {
		j.Hum = append(j.Hum, lineJSON{h.Frequency, round(h.Level, 10)})
	}
	return j
}

func heardPairs(all []suspect.Heard) []heardJSON {
	pairs := []heardJSON{}
	for _, h := range all {
		pairs = append(pairs, heardJSON{h.Output, h.Input, h.Was.String(), h.Is.String()})
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
