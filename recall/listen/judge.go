package listen

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync"

	"bayhand/model/name"
	"bayhand/model/reading"
	"bayhand/model/suspect"
)

// Judge reads a recording whose channels are inputs of the device, made while the
// test sound was played at a level in dBFS rms, and compares it with what should be
// heard. It fails where the recording cannot be read (ErrUsage), or the context
// ends. It takes time linear in outputs times inputs; inputs are read beside each
// other.
func (l *Plan) Judge(ctx context.Context, r reading.Recording, inputs []name.Point, level float64) (*Answer, error) {
	one, err := l.part(ctx, r, inputs, level)
	if err != nil {
		return nil, err
	}
	return l.judge([]part{one}, inputs, level), nil
}

// part is what one recording shows of the outputs that played in it.
type part struct {
	whole   *reading.Reading
	paths   [][]reading.Path // of each input, of the plan's driven outputs
	strays  []Stray
	seconds float64
}

func (l *Plan) part(ctx context.Context, r reading.Recording, inputs []name.Point, level float64) (part, error) {
	whole, err := l.read(ctx, r, level)
	if err != nil {
		return part{}, err
	}
	return part{whole, l.played(whole), l.strays(whole, inputs), float64(len(r.Channels[0])) / float64(r.Rate)}, nil
}

// judge compares what the parts show, whose outputs follow each other in the plan's
// order, with what should be heard.
func (l *Plan) judge(parts []part, inputs []name.Point, level float64) *Answer {
	scene := l.Scene(inputs)
	a := &Answer{Plan: l, Scene: scene, Level: level, Paths: make([][]reading.Path, len(inputs)),
		Reading: &reading.Reading{Rate: l.Comb.Rate, Clock: parts[0].whole.Clock, Inputs: joinInputs(parts)}}
	for _, one := range parts {
		for i := range inputs {
			a.Paths[i] = append(a.Paths[i], one.paths[i]...)
		}
		a.Strays, a.Seconds = append(a.Strays, one.strays...), a.Seconds+one.seconds
	}
	a.Shift = levelShift(scene, a.Paths)
	for i := range a.Paths {
		for o := range a.Paths[i] {
			a.Paths[i][o].Level -= a.Shift
		}
	}
	a.picture = scene.Judge(a.Paths)
	a.Found, a.Nothing = scene.Explain(a.picture), nothingHeard(a.Paths)
	if a.Nothing && len(a.Found.Findings) != 1 {
		// That nothing was played, or recorded, says all of it; several mistakes at once would
		// be a guess.
		a.Found.Findings, a.Found.Unexplained = nil, nil
	}
	for n, f := range a.Found.Findings {
		a.Found.Findings[n] = scene.Narrow(f, a.Paths)
	}
	return a
}

// joinInputs are the inputs as the parts together show them: the worst of each.
func joinInputs(parts []part) []reading.Input {
	joined := slices.Clone(parts[0].whole.Inputs)
	for _, one := range parts[1:] {
		for i, in := range one.whole.Inputs {
			j := &joined[i]
			j.Noise, j.Level = max(j.Noise, in.Noise), max(j.Level, in.Level)
			j.Changes, j.Clipped = j.Changes || in.Changes, j.Clipped || in.Clipped
			if humLevel(in.Hum) > humLevel(j.Hum) {
				j.Hum = in.Hum
			}
			j.Remains, j.Unnamed = j.Remains || in.Remains, j.Unnamed || in.Unnamed
		}
	}
	return joined
}

// ear is one for a level, of the studio's mains.
func (l *Plan) ear(level float64) *reading.Ear {
	ear := reading.NewEar(l.Comb, level)
	ear.Mains(l.Room.Studio().Verify.Hum)
	return ear
}

// read reads a recording, several inputs beside each other.
func (l *Plan) read(ctx context.Context, r reading.Recording, level float64) (*reading.Reading, error) {
	ear := l.ear(level)
	if err := ear.Check(r); err != nil {
		return nil, wrong("the recording: %w", err)
	}
	fitting := ear.Fit(r)
	made := &reading.Reading{Rate: r.Rate, Clock: fitting.Clock,
		Paths: make([][]reading.Path, len(r.Channels)), Inputs: make([]reading.Input, len(r.Channels))}
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(r.Channels)) {
		workers.Go(func() {
			ear := l.ear(level)
			for i := range next {
				made.Paths[i], made.Inputs[i] = ear.Listen(r.Channels[i], fitting)
			}
		})
	}
	for i := range r.Channels {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	workers.Wait()
	if ctx.Err() != nil {
		return nil, ErrStopped
	}
	return made, nil
}

// played are the paths of the outputs that play, of each input.
func (l *Plan) played(r *reading.Reading) [][]reading.Path {
	paths := make([][]reading.Path, len(r.Paths))
	for i, all := range r.Paths {
		for _, o := range l.Driven {
			paths[i] = append(paths[i], all[l.share(o)])
		}
	}
	return paths
}

// Stray is an output that is heard although it was not to play.
type Stray struct{ Output, Input name.Point }

// strays are those: the recording was made with other outputs than are said now,
// or the channels are not in the order that the studio has.
func (l *Plan) strays(r *reading.Reading, inputs []name.Point) []Stray {
	var found []Stray
	if l.shares != nil {
		return nil // nothing else has tones in a part
	}
	for i, all := range r.Paths {
		for o, p := range all {
			if p.Found && !slices.Contains(l.Driven, o) {
				found = append(found, Stray{l.Device.Sound.Outputs[o].Port, inputs[i]})
			}
		}
	}
	return found
}

// Limits of a shift of all levels, in dB: at least so many paths must agree so
// closely; a smaller shift is left where it is.
const (
	shiftPaths  = 3
	shiftSpread = 1.0
	shiftLeast  = 1.0
)

// levelShift is by how much all levels are off together: whoever played or
// recorded did it at another level than the file has. It is taken off, and told.
func levelShift(c *suspect.Scene, paths [][]reading.Path) float64 {
	var off []float64
	for i := range paths {
		for o, p := range paths[i] {
			if e := c.Expected(o, i); p.Found && e.Judged {
				off = append(off, p.Level-e.Level)
			}
		}
	}
	if len(off) < shiftPaths {
		return 0
	}
	slices.Sort(off)
	middle := off[len(off)/2]
	near := 0
	for _, v := range off {
		if math.Abs(v-middle) < shiftSpread {
			near++
		}
	}
	if math.Abs(middle) < shiftLeast || near < shiftPaths || near*2 <= len(off) {
		return 0
	}
	return middle
}

func nothingHeard(paths [][]reading.Path) bool {
	for i := range paths {
		if slices.ContainsFunc(paths[i], func(p reading.Path) bool { return p.Found }) {
			return false
		}
	}
	return true
}
