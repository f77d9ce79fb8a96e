package remote

import (
	"slices"
	"time"

	"bayhand/drivers/program"
)

const (
	// echoes come back at once where gear passes on what it hears; a tenth of this
	// is more than any line of cables takes.
	echoTime = 2 * time.Second
	// retry is how long a port is let be that could not be opened.
	retry = 2 * time.Second

	// A hand does not ask for more than this many sessions in so short a time; what
	// does is a loop.
	mostInARow = 8
	inARow     = 10 * time.Second
	quiet      = 5 * time.Second
)

// echoes are the programs that were sent to gear a short while ago.
type echoes []struct {
	channel, number int
	until           time.Time
}

func (e *echoes) add(p program.Program, now time.Time) {
	e.forget(now)
	*e = append(*e, struct {
		channel, number int
		until           time.Time
	}{p.Channel, p.Number, now.Add(echoTime)})
}

func (e *echoes) has(p program.Program, now time.Time) bool {
	e.forget(now)
	for _, sent := range *e {
		if sent.channel == p.Channel && sent.number == p.Number {
			return true
		}
	}
	return false
}

func (e *echoes) forget(now time.Time) {
	for len(*e) > 0 && now.After((*e)[0].until) {
		*e = (*e)[1:]
	}
}

// pace is when requests came.
type pace struct {
	times []time.Time
	// last is when the last one came that was turned down; zero while they are
	// heeded.
	last time.Time
}

// tooFast takes a request, and says whether it is to be turned down.
func (p *pace) tooFast(now time.Time) bool {
	if !p.last.IsZero() && now.Sub(p.last) < quiet {
		p.last = now
		return true
	}
	p.last = time.Time{}
	p.times = slices.DeleteFunc(p.times, func(t time.Time) bool { return now.Sub(t) >= inARow })
	if len(p.times) >= mostInARow {
		p.last, p.times = now, nil
		return true
	}
	p.times = append(p.times, now)
	return false
}
