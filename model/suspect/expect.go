package suspect

import (
	"math"
	"slices"

	"bayhand/model/reading"
	"bayhand/model/studio"
)

// Limits of a level against what it should be, in dB: within steady it is as it
// should be, between both it is one leg, 6.02 dB, and under faint it is what
// leaks through open contacts and between cores.
const (
	steady = 2.5
	oneLeg = 8.5
	faint  = -40.0
)

// Expectation is what should be read of a pair.
type Expectation struct {
	Class Class
	// Judged says whether Level says anything: through metal and matrices alone,
	// or against a reference.
	Judged bool
	// Level is in dB from full scale to full scale.
	Level float64
}

// Expected is what should be read of an output at an input, by their places in
// the setup.
func (c *Scene) Expected(output, input int) Expectation {
	at := c.at(output, input)
	return Expectation{c.base[at], c.judged[at], c.level[at]}
}

// Direct says whether an output comes to an input through metal and matrices alone.
func (c *Scene) Direct(output, input int) bool {
	return slices.Contains(c.live.Hears(c.Inputs[input]), c.Outputs[output])
}

func (c *Scene) expect() {
	c.judged, c.level = make([]bool, len(c.base)), make([]float64, len(c.base))
	metal := make([]bool, len(c.base))
	for i, in := range c.Inputs {
		direct := c.live.Hears(in)
		for o, out := range c.Outputs {
			at := c.at(o, i)
			level, known := c.nominal(c.ports[out], c.ports[in])
			c.level[at] = level
			metal[at] = slices.Contains(direct, out)
			c.judged[at] = known && c.base[at] == Present && metal[at]
			if r, ok := c.Reference[Pair{out, in}]; ok && r.Found && c.base[at] == Present {
				c.level[at], c.judged[at] = r.Level, !r.Smeared && r.Polarity != reading.Unclear
			}
			c.base[at] = c.readable(at, c.base[at])
		}
	}
	c.direct = metal
}

// nominal is the gain from full scale to full scale of two ports that metal
// joins: by the levels that their lines clip at, and what the load takes. It is
// not known where a balanced output drives an unbalanced input and nobody says
// what its stage does then.
func (c *Scene) nominal(out, in studio.Port) (level float64, known bool) {
	if !c.scale[out.Point.Owner] || !c.scale[in.Point.Owner] || out.Point.Owner != in.Point.Owner {
		level = float64(out.Line.Max - in.Line.Max)
	}
	if out.Line.Source > 0 && in.Line.Load > 0 {
		level += 20 * math.Log10(float64(in.Line.Load/(in.Line.Load+out.Line.Source)))
	}
	if out.Line.Balanced && !in.Line.Balanced {
		switch out.Line.Stage {
		case studio.ActiveStage:
			return level - 6.02, true
		case studio.CrossCoupledStage, studio.TransformerStage, studio.ImpedanceStage:
			return level, true
		case studio.StageUnsaid:
			return level, false
		}
	}
	return level, true
}

// Judge is the picture of a reading: paths of each input from each output.
func (c *Scene) Judge(paths [][]reading.Path) []Class {
	made := make([]Class, len(c.base))
	for i := range c.Inputs {
		for o := range c.Outputs {
			made[c.at(o, i)] = c.judge(o, i, paths[i][o])
		}
	}
	return made
}

func (c *Scene) judge(o, i int, p reading.Path) Class {
	at := c.at(o, i)
	off := p.Level - c.level[at]
	switch {
	case !p.Found || off < faint:
		return Absent
	case !c.judged[at]:
		return Present
	}
	reversed := p.Polarity == reading.Reversed
	if r, ok := c.Reference[Pair{c.Outputs[o], c.Inputs[i]}]; ok {
		reversed = p.Polarity != reading.Unclear && p.Polarity != r.Polarity
	}
	switch low := off < -steady && off > -oneLeg; {
	case math.Abs(off) <= steady && reversed:
		return Reversed
	case math.Abs(off) <= steady:
		return Present
	case low && reversed:
		return ReversedLow
	case low:
		return Low
	}
	return Unlike
}
