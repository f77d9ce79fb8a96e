package sound

import "math"

// reach is how many samples on each side of a place a clock looks at.
const reach = 16

// clock records what it is given by a clock of its own, by a sinc under a raised cosine.
// It is late by reach samples.
type clock struct {
	// step is how much of a sample goes by between two that are recorded.
	step    float64
	place   float64 // of the next one that is recorded, among history
	history []float64
}

// newClock is one that is faster by parts in a million.
func newClock(faster float64) *clock {
	return &clock{step: 1 / (1 + faster*1e-6), place: reach, history: make([]float64, reach)}
}

// take gives what is recorded once one sample more has come: one as a rule, now and then
// none or two.
func (c *clock) take(x float64) (recorded []float64) {
	c.history = append(c.history, x)
	for int(c.place)+reach < len(c.history) {
		recorded = append(recorded, c.between(c.place))
		c.place += c.step
	}
	if drop := int(c.place) - 4*reach; drop > 1024 {
		c.history, c.place = append([]float64{}, c.history[drop:]...), c.place-float64(drop)
	}
	return recorded
}

func (c *clock) between(place float64) float64 {
	at := int(place)
	off := place - float64(at)
	if off == 0 {
		return c.history[at]
	}
	// From tap to tap the sine changes its sign alone, and the window turns by one step.
	sine := math.Sin(math.Pi*off) / math.Pi
	x := off + reach - 1
	windowSine, windowCosine := math.Sincos(math.Pi * x / reach)
	if (reach-1)%2 == 1 {
		sine = -sine
	}
	sum := 0.0
	for _, sample := range c.history[at-reach+1 : at+reach+1] {
		sum += sample * (1 + windowCosine) / 2 * sine / x
		x, sine = x-1, -sine
		windowSine, windowCosine = windowSine*turnCosine-windowCosine*turnSine, windowCosine*turnCosine+windowSine*turnSine
	}
	return sum
}

// The turn of the window from one tap to the next.
var turnSine, turnCosine = math.Sincos(math.Pi / reach)
