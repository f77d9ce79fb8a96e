package bound

import (
	"math"
	"slices"

	"bayhand/model/graph"
)

// climb is the way of the prices to where the bound is high: subgradient steps (Polyak 1969,
// from memory), of which each goes on a part in the direction of the one before.
type climb struct {
	*prices
	limits *limits
	aim    int       // what a plan handles that is known, in units
	best   int       // bound
	bestAt []int     // the prices of it
	at     []float64 // the prices, before they are rounded
	course []float64
	fall   int // the most that a price fell by in the last step
}

func newClimb(p *prices, l *limits, aim int) *climb {
	c := &climb{prices: p, limits: l, aim: aim, best: math.MinInt}
	c.bestAt = slices.Clone(p.of)
	for _, price := range p.of {
		c.at = append(c.at, float64(price))
	}
	c.course = make([]float64, len(c.at))
	return c
}

// keep keeps a bound that is higher than all before, with the prices of it.
func (c *climb) keep(value int) {
	if value > c.best {
		c.best = value
		copy(c.bestAt, c.of)
	}
}

const (
	// firstStep is the first step in parts of the way to the aim, lastStep the last.
	firstStep, lastStep = 0.2, 0.002
	// smooth is the part of a course that comes from the round before.
	smooth = 0.5
)

// step changes the prices along what is used too often or too rarely, where so much of the work
// is done and the value is what the ways cost less the things; false where nothing is.
func (c *climb) step(value int, used []int, done float64) bool {
	norm := c.turn(used)
	if norm == 0 {
		return false
	}
	by := firstStep * math.Pow(lastStep/firstStep, done) * float64(c.aim-value) / norm
	c.fall = 1
	c.set(func(i int) int {
		price := c.next(i, by)
		c.fall = max(c.fall, c.of[i]-price)
		return price
	})
	return true
}

// next is the price of a thing after so much of a step along the course.
func (c *climb) next(i int, by float64) int {
	if of := c.limits.of[i]; of != graph.None {
		return -c.of[of] // a node, which comes before
	}
	c.at[i] = max(float64(c.limits.low[i]), min(float64(c.limits.high[i]), c.at[i]+by*c.course[i]))
	return int(math.Round(c.at[i]))
}

// turn turns the course toward what was used; its length, squared. Where nothing is used too often
// or too rarely the prices are the best for these ways, and it is 0: what is left of the course
// leads nowhere, and the shorter it is, the longer a step along it would be.
func (c *climb) turn(used []int) float64 {
	norm, settled := 0.0, true
	for i, course := range c.course {
		if c.limits.of[i] != graph.None {
			continue
		}
		over := float64(used[i] - c.limits.most[i])
		if less := c.limits.less[i]; less != graph.None {
			over -= float64(used[less])
		}
		c.course[i] = c.open(i, smooth*course+(1-smooth)*over)
		over = c.open(i, over)
		settled = settled && over == 0
		norm += max(c.course[i]*c.course[i], over*over)
	}
	if settled {
		return 0
	}
	return norm
}

// open is a change of a price that its limits allow.
func (c *climb) open(i int, change float64) float64 {
	if change < 0 && c.of[i] == c.limits.low[i] || change > 0 && c.of[i] == c.limits.high[i] {
		return 0
	}
	return change
}
