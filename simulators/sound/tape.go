package sound

import "math"

// line is what was, with places between samples.
type line struct {
	samples []float64
	at      int // where the next one goes
}

func newLine(longest int) line { return line{samples: make([]float64, longest+4)} }

func (l *line) put(x float64) {
	l.samples[l.at] = x
	l.at = (l.at + 1) % len(l.samples)
}

// ago is what was put a number of samples before the newest one, at least 1 and at most
// the longest, by the cubic of Hermite through four samples.
func (l *line) ago(samples float64) float64 {
	whole := int(samples)
	x := samples - float64(whole)
	n := len(l.samples)
	get := func(back int) float64 { return l.samples[((l.at-1-back)%n+n)%n] }
	a, b, c, d := get(whole-1), get(whole), get(whole+1), get(whole+2)
	return b + x/2*(c-a+x*(2*a-5*b+4*c-d+x*(3*(b-c)+d-a)))
}

// rate is the samples a second that boxes with a sense of time are made for.
const rate = 48000

// Tape is sound that comes 10 ms late from a machine whose speed wavers: by the part Wow
// once a second, and by the part Flutter eight times, both peak.
type Tape struct {
	Wow, Flutter float64
	line         line
	at           int
}

// NewTape is a tape that moves by at most a twentieth.
func NewTape(wow, flutter float64) *Tape {
	return &Tape{Wow: min(wow, 0.05), Flutter: min(flutter, 0.05), line: newLine(rate / 50)}
}

// Step gives one sample. Speed is how fast the place on the tape moves, so the place wavers
// by the integral of it.
func (t *Tape) Step(x float64) float64 {
	t.line.put(x)
	t.at++
	turn := 2 * math.Pi * float64(t.at) / rate
	return t.line.ago(rate/100 + rate/(2*math.Pi)*(t.Wow*math.Sin(turn)+t.Flutter/8*math.Sin(8*turn)))
}

// Retuner gives all pitches higher by a factor: two places on a line move towards the
// newest sample, and each is silent when it jumps back.
type Retuner struct {
	Factor float64 // above 1 and below 2
	line   line
	at     int
}

// grain is the length of the stretch that a retuner moves over, in samples.
const grain = rate / 20

// NewRetuner is a retuner.
func NewRetuner(factor float64) *Retuner { return &Retuner{Factor: factor, line: newLine(grain + 2)} }

// Step gives one sample.
func (r *Retuner) Step(x float64) float64 {
	r.line.put(x)
	r.at++
	sum := 0.0
	for half := range 2 {
		_, part := math.Modf(float64(r.at)*(r.Factor-1)/grain + float64(half)/2)
		weight := math.Sin(math.Pi * part)
		sum += weight * weight * r.line.ago(1+grain*(1-part))
	}
	return sum
}
