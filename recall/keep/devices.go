package keep

import "slices"

// devices are those of the studio's matrices.
type devices struct {
	all []device
	// ever counts those that there ever were, for their numbers.
	ever int
	// notes are problems that stay until the next recall.
	notes []Problem
}

func (d devices) clone() devices { return devices{slices.Clone(d.all), d.ever, slices.Clone(d.notes)} }

// of is the device of a matrix; nil where none is driven.
func (d devices) of(matrix string) *device {
	return d.first(func(h *device) bool { return h.matrix.Name == matrix })
}

// numbered is the device of a number; nil where the studio has it no more.
func (d devices) numbered(number int) *device {
	return d.first(func(h *device) bool { return h.number == number })
}

// untried says whether some device was not asked once yet.
func (d devices) untried() bool { return d.first(func(h *device) bool { return !h.tried }) != nil }

// between says whether any device is on the way from one state to another.
func (d devices) between() bool {
	return d.first(func(h *device) bool { return h.job.counts() }) != nil
}

func (d devices) first(is func(*device) bool) *device {
	for i := range d.all {
		if is(&d.all[i]) {
			return &d.all[i]
		}
	}
	return nil
}
