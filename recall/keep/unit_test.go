package keep_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"sync"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

var errPulled = errors.New("nothing answers on the line")

// unit is a made-up device: what its outputs listen to, and what is wrong with
// it.
type unit struct {
	// mu guards the fields below.
	mu     sync.Mutex
	inputs map[name.Point]name.Point
	// deaf units cannot be asked.
	deaf bool
	// gone units do not answer; pulledAfter counts switches until it is gone.
	gone bool
	// silent units take what they are asked, and say nothing.
	silent      bool
	pulledAfter int
	// says is what it says of itself; shy is why it does not.
	says string
	shy  error
	// refuses is what it says to any switch; nil for nothing.
	refuses error
	// stuck outputs stay as they are, whatever it is told.
	stuck map[name.Point]bool
	// unclear outputs are said to listen to what is no input, until they are switched.
	unclear map[name.Point]bool
	// slow is how long a switch takes.
	slow time.Duration
	// switched counts what it was told.
	switched int
	// crossed outputs follow another one, as if wired together inside.
	crossed map[name.Point]name.Point
	// heard is what it answered last, sent what it was told last.
	heard, sent map[name.Point]name.Point
	log         []string
	opened      int
	// talks units say by themselves what is turned by hand; babbles is how often
	// one says it is off without end, 0 for never.
	talks   chan keep.Report
	babbles time.Duration
	// reads counts reads; nil for no counting.
	reads *int
}

// talker is a line to a unit that talks.
type talker struct{ line }

func (t talker) Report(ctx context.Context) (keep.Report, error) {
	if t.babbles > 0 {
		select {
		case <-time.After(t.babbles):
			return keep.Report{Off: []name.Point{name.At("grid", "out", 4)}}, nil
		case <-ctx.Done():
			return keep.Report{}, ctx.Err()
		}
	}
	select {
	case r := <-t.talks:
		return r, nil
	case <-ctx.Done():
		return keep.Report{}, ctx.Err()
	}
}

// turnAloud is a hand at the front panel of a unit that talks.
func (u *unit) turnAloud(output, input name.Point) {
	u.turn(output, input)
	r := keep.Report{Closed: []patch.Crosspoint{{Output: output, Input: input}}}
	if input.IsZero() {
		r = keep.Report{Off: []name.Point{output}}
	}
	u.change(func(u *unit) { u.heard[output] = input })
	u.talks <- r
}

func newUnit() *unit {
	return &unit{
		inputs: map[name.Point]name.Point{}, stuck: map[name.Point]bool{}, crossed: map[name.Point]name.Point{},
		heard: map[name.Point]name.Point{}, sent: map[name.Point]name.Point{}, says: "made-up",
	}
}

// change is the test's way to a unit's fields.
func (u *unit) change(do func(u *unit)) {
	u.mu.Lock()
	defer u.mu.Unlock()
	do(u)
}

// turn is a hand at the front panel.
func (u *unit) turn(output, input name.Point) { u.change(func(u *unit) { u.set(output, input) }) }

func (u *unit) set(output, input name.Point) {
	delete(u.inputs, output)
	if !input.IsZero() {
		u.inputs[output] = input
	}
}

func (u *unit) lines() []string {
	u.mu.Lock()
	defer u.mu.Unlock()
	return slices.Clone(u.log)
}

func (u *unit) forget() { u.change(func(u *unit) { u.log = nil }) }

// line is one open link to a unit.
type line struct{ *unit }

func (u *unit) open() (keep.Matrix, error) {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.gone {
		return nil, errPulled
	}
	u.opened++
	if u.talks != nil {
		return talker{line{u}}, nil
	}
	return line{u}, nil
}

func (l line) ReadsBack() bool { return !l.deaf }

func (l line) Close() error {
	l.change(func(u *unit) { u.opened-- })
	return nil
}

func (l line) Identify(ctx context.Context) (string, error) {
	if err := l.silence(ctx); err != nil {
		return "", err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.gone {
		return "", errPulled
	}
	return l.says, l.shy
}

// silence lets the time of a question to a silent unit pass.
func (l line) silence(ctx context.Context) error {
	silent := false
	l.change(func(u *unit) { silent = u.silent })
	if !silent {
		return nil
	}
	<-ctx.Done()
	return ctx.Err()
}

func (l line) Read(ctx context.Context) ([]patch.Crosspoint, error) {
	if err := l.silence(ctx); err != nil {
		return nil, err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	switch {
	case l.gone:
		return nil, errPulled
	case l.deaf:
		return nil, errors.New("asked what it cannot be asked")
	}
	if l.reads != nil {
		*l.reads++
	}
	var closed []patch.Crosspoint
	clear(l.heard)
	for output, input := range l.inputs {
		l.heard[output] = input
		if !l.unclear[output] {
			closed = append(closed, patch.Crosspoint{Output: output, Input: input})
		}
	}
	slices.SortFunc(closed, patch.Crosspoint.Compare)
	if len(l.unclear) > 0 {
		return closed, unclear(slices.Collect(maps.Keys(l.unclear)))
	}
	return closed, nil
}

// unclear is the error of a unit of which some outputs are not understood.
type unclear []name.Point

func (u unclear) Error() string         { return "some outputs are not understood" }
func (u unclear) Unclear() []name.Point { return u }

// count is how often the unit was told to switch.
func (u *unit) count() int {
	u.mu.Lock()
	defer u.mu.Unlock()
	return u.switched
}

func (l line) Switch(ctx context.Context, open, shut []patch.Crosspoint) error {
	if err := l.wait(ctx); err != nil {
		return err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.switched++
	if l.gone {
		return errPulled
	}
	if l.refuses != nil {
		return fmt.Errorf("%w: %w", keep.ErrRefused, l.refuses)
	}
	l.take(open, shut)
	maps.DeleteFunc(l.unclear, func(output name.Point, _ bool) bool { return !l.stuck[output] })
	if l.pulledAfter > 0 {
		if l.pulledAfter--; l.pulledAfter == 0 {
			l.gone = true
			return errPulled
		}
	}
	return nil
}

func (l line) wait(ctx context.Context) error {
	l.mu.Lock()
	slow := l.slow
	l.mu.Unlock()
	if slow == 0 {
		return nil
	}
	select {
	case <-time.After(slow):
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (u *unit) take(open, shut []patch.Crosspoint) {
	for _, c := range open {
		if u.inputs[c.Output] == c.Input && !u.stuck[c.Output] {
			delete(u.inputs, c.Output)
		}
		u.sent[c.Output] = name.Point{}
	}
	for _, c := range shut {
		if !u.stuck[c.Output] {
			u.inputs[c.Output] = c.Input
		}
		if other, ok := u.crossed[c.Output]; ok {
			u.inputs[other] = c.Input
		}
		u.sent[c.Output] = c.Input
	}
	u.log = append(u.log, fmt.Sprintf("open %s close %s", list(open), list(shut)))
}

func list(points []patch.Crosspoint) string {
	text := "["
	for i, c := range points {
		if i > 0 {
			text += " "
		}
		text += c.Output.Port() + "=" + c.Input.Port()
	}
	return text + "]"
}

// wrong says what a memory claims to know of the unit that it does not know;
// empty if nothing.
func (u *unit) wrong(m studio.Matrix, known keep.Known) string {
	u.mu.Lock()
	defer u.mu.Unlock()
	for _, c := range known.Crosspoints {
		if c.Output.Owner != m.Name {
			continue
		}
		switch {
		case c.How == keep.Read && u.deaf && u.talks == nil:
			return fmt.Sprintf("%s is said to be read from a device that cannot be asked", c.Output)
		case c.How == keep.Read && u.heard[c.Output] != c.Input:
			return fmt.Sprintf("%s is said to be read as %q, and the device answered %q", c.Output, c.Input, u.heard[c.Output])
		case c.How == keep.Sent && u.sent[c.Output] != c.Input:
			return fmt.Sprintf("%s is said to be sent %q, and was sent %q", c.Output, c.Input, u.sent[c.Output])
		case c.How == keep.Told || c.How == keep.Measured:
			return fmt.Sprintf("%s is said to be %s", c.Output, c.How)
		}
	}
	return ""
}
