package keep

import (
	"fmt"
	"slices"
	"time"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// A device that was put back this often within a minute is left as it is: it
// does not hold what it is told, or somebody is working on it.
const (
	mostRestores  = 3
	restoreWithin = time.Minute
)

// What is undone this often, each time so soon after it was put back, is undone by a
// program: two daemons at one device would fight without an end, each saying that
// somebody turned it by hand.
const (
	mostUndone   = 2
	undoneWithin = 10 * time.Second
)

// restoring is how often a device was put back after a drift, and whether that stayed.
// The zero restoring was never put back.
type restoring struct {
	// times are when, within the last minute; outputs what was put back last.
	times   []time.Time
	outputs []name.Point
	// undone counts how often in a row that was undone at once.
	undone int
}

// unsteady says whether the device changes too often to be put back.
func (r restoring) unsteady() bool { return len(r.times) >= mostRestores }

// undoing says whether another program undoes what is put back.
func (r restoring) undoing() bool { return r.undone >= mostUndone }

// ended says whether the device is left as it is, until the next recall or a person's
// word.
func (r restoring) ended() bool { return r.unsteady() || r.undoing() }

// may counts outputs that are to be put back; false where the device is left as it is.
func (r *restoring) may(now time.Time, turned []name.Point) bool {
	if r.ended() {
		return false
	}
	r.count(now, turned)
	if r.undoing() {
		return false
	}
	r.times = slices.DeleteFunc(slices.Clone(r.times), func(t time.Time) bool { return now.Sub(t).Abs() >= restoreWithin })
	r.times, r.outputs = append(r.times, now), turned
	return true
}

// count notes whether what was put back last was undone at once.
func (r *restoring) count(now time.Time, turned []name.Point) {
	again := slices.ContainsFunc(turned, func(p name.Point) bool { return slices.Contains(r.outputs, p) })
	if n := len(r.times); n > 0 && again && now.Sub(r.times[n-1]).Abs() <= undoneWithin {
		r.undone++
		return
	}
	r.undone = 0
}

// problem says why a device is left as it is; nil where it is not.
func (r restoring) problem(m studio.Matrix) *Problem {
	matrix := called(m)
	p := Problem{Severity: "error", Remedies: []Act{{Do: ToPutBack, Matrix: m.Name}, {Do: ToLeave, Matrix: m.Name}}}
	switch {
	case r.undoing():
		p.Code, p.Message = "other-driver", fmt.Sprintf("another program drives %s as well: what bayhand restored was undone within seconds, %d times. "+
			"bayhand leaves it until the next recall. End the other program, or drive it from one place", matrix, r.undone)
	case r.unsteady():
		p.Code, p.Message = "unsteady", fmt.Sprintf("%s changed by itself %d times in a minute. bayhand stopped restoring it until the next recall. "+
			"Check what else controls it", matrix, len(r.times))
	default:
		return nil
	}
	p.Since = r.times[len(r.times)-1]
	return &p
}
