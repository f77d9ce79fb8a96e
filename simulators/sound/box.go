package sound

import "math"

// Gain is a box that is only louder or quieter, by a factor.
type Gain float64

// Step gives one sample.
func (g Gain) Step(x float64) float64 { return float64(g) * x }

// Delay gives what it took a number of samples before, beside a part of what it
// gave itself.
type Delay struct {
	Back float64 // 0 to below 1
	line []float64
	at   int
}

// NewDelay is a delay of at least one sample.
func NewDelay(samples int, back float64) *Delay {
	return &Delay{Back: back, line: make([]float64, max(1, samples))}
}

// Step gives one sample.
func (d *Delay) Step(x float64) float64 {
	y := d.line[d.at]
	d.line[d.at] = x + d.Back*y
	d.at = (d.at + 1) % len(d.line)
	return y
}

// Compressor holds down what is above a threshold, with 5 ms of attack and 100 ms
// of release at 48,000 samples a second.
type Compressor struct {
	Threshold, Ratio float64 // dBFS; 4 for 4:1
	envelope         float64
}

// Step gives one sample.
func (c *Compressor) Step(x float64) float64 {
	rate := 1.0 / 4800
	if math.Abs(x) > c.envelope {
		rate = 1.0 / 240
	}
	c.envelope += rate * (math.Abs(x) - c.envelope)
	over := math.Log(c.envelope+1e-12) - c.Threshold*math.Ln10/20
	if over <= 0 {
		return x
	}
	return x * math.Exp(-over*(1-1/c.Ratio))
}

// Overdrive bends what is loud.
type Overdrive struct{ Gain float64 }

// Step gives one sample.
func (o Overdrive) Step(x float64) float64 { return math.Tanh(o.Gain*x+0.1) / o.Gain }
