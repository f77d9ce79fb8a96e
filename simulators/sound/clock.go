package sound

import "math"

// reach is how many samples on each side of a place a clock looks at.
const reach = 16

// clock records what it is given by a clock of its own, by a sinc under a raised cosine:
// several channels at once. It is late by reach samples.
type clock struct {
	// step is how much of a sample goes by between two that are recorded.
	step    float64
	place   float64     // of the next one that is recorded, among history
	history [][]float64 // of each channel
	weights [2 * reach]float64
}

// newClock is one of so many channels that is faster by parts in a million.
func newClock(faster float64, channels int) *clock {
	c := &clock{step: 1 / (1 + faster*1e-6), place: reach, history: make([][]float64, channels)}
	for ch := range c.history {
		c.history[ch] = make([]float64, reach)
	}
	return c
}

// take adds to recorded the frames that are recorded once one more has come: one as a
// rule, now and then none or two.
func (c *clock) take(recorded, frame []float64) []float64 {
	for ch, x := range frame {
		c.history[ch] = append(c.history[ch], x)
	}
	for int(c.place)+reach < len(c.history[0]) {
		recorded = c.between(recorded)
		c.place += c.step
	}
	if drop := int(c.place) - 4*reach; drop > 1024 {
		for ch, old := range c.history {
			c.history[ch] = append(old[:0], old[drop:]...)
		}
		c.place -= float64(drop)
	}
	return recorded
}

// between adds the frame at the place.
func (c *clock) between(recorded []float64) []float64 {
	at := int(c.place)
	off := c.place - float64(at)
	if off == 0 {
		for _, samples := range c.history {
			recorded = append(recorded, samples[at])
		}
		return recorded
	}
	c.weigh(off)
	for _, samples := range c.history {
		sum := 0.0
		for i, sample := range samples[at-reach+1 : at+reach+1] {
			sum += sample * c.weights[i]
		}
		recorded = append(recorded, sum)
	}
	return recorded
}

// weigh sets the weights of the samples around a place that is so far after one. From tap
// to tap the sine changes its sign alone, and the window turns by one step.
func (c *clock) weigh(off float64) {
	sine := math.Sin(math.Pi*off) / math.Pi
	x := off + reach - 1
	windowSine, windowCosine := math.Sincos(math.Pi * x / reach)
	if (reach-1)%2 == 1 {
		sine = -sine
	}
	for i := range c.weights {
		c.weights[i] = (1 + windowCosine) / 2 * sine / x
		x, sine = x-1, -sine
		windowSine, windowCosine = windowSine*turnCosine-windowCosine*turnSine, windowCosine*turnCosine+windowSine*turnSine
	}
}

// The turn of the window from one tap to the next.
var turnSine, turnCosine = math.Sincos(math.Pi / reach)
