package order

import (
	"slices"

	"bayhand/model/name"
)

// hazard is something that a state should not have.
type hazard struct {
	weight int
	text   string
	// gear may sound by it.
	gear []string
}

// What a hazard weighs: joined outputs and loops are worse than the interruption
// of what is to be kept, and that is worse than a plug that moves on its path. What
// only sounds weighs nothing, where it is muted.
const (
	weighsSound     = 0
	weighsTouch     = 1
	weighsInterrupt = 16
	weighsClash     = 256
)

// effect is what an action does that should not be, where it is done in one state.
type effect struct {
	hazards []hazard
	// mutes are the gear that must be muted before it.
	mutes []string
	// phantomOff are the inputs whose phantom power must be off before it.
	phantomOff []name.Point
	// interrupted is what is heard in both patches and falls silent.
	interrupted []hearer
}

// hearer is an input and a source that it hears.
type hearer struct{ in, source name.Point }

// weight is that of all hazards, worst that of the worst.
func (e *effect) weight() (all, worst int) {
	for _, h := range e.hazards {
		all += h.weight
		worst = max(worst, h.weight)
	}
	return all, worst
}

// worstOf is the first of the worst hazards.
func (e *effect) worstOf() (worst hazard, ok bool) {
	for _, h := range e.hazards {
		if !ok || h.weight > worst.weight {
			worst, ok = h, true
		}
	}
	return worst, ok
}

func (e *effect) add(hazards ...hazard) {
	for _, h := range hazards {
		e.hazards = append(e.hazards, h)
		e.mute(h.gear...)
	}
}

func (e *effect) mute(gear ...string) {
	for _, g := range gear {
		if !slices.Contains(e.mutes, g) {
			e.mutes = append(e.mutes, g)
		}
	}
}

func (e *effect) powerOff(inputs ...name.Point) {
	for _, p := range inputs {
		if !slices.Contains(e.phantomOff, p) {
			e.phantomOff = append(e.phantomOff, p)
		}
	}
}
