package bench

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// faults are lessons that ask for a fault, or begin with one that is to be found. How
// it is made or mended is not said until it is asked for: they are for those who teach.
func (t teacher) faults() []Lesson {
	return []Lesson{t.outputsJoined(), t.tapBelow(), t.tapAbove(), t.forgotten(), t.mixed()}
}

// fault is a lesson with a name of its own, and with something plugged in the beginning.
func (t teacher) fault(called string, mode studio.Mode, plugged patch.Patch, title, about string, tasks ...Task) Lesson {
	for i := range tasks {
		tasks[i].Answer = t.put(tasks[i].Answer)
	}
	l := t.lesson(mode, title, about, tasks...)
	l.Name = called
	l.Begin.Patch = plugged
	for i := range plugged.Cords {
		l.Begin.Marks = append(l.Begin.Marks, i)
	}
	return l
}

// meet says whether two outputs are joined.
func meet(state *heard.State, p, q name.Point) bool {
	return slices.ContainsFunc(state.Contentions(), func(c heard.Contention) bool {
		return slices.Contains(c.Drivers, p) && slices.Contains(c.Drivers, q)
	})
}

func (t teacher) outputsJoined() Lesson {
	return t.fault("fault-joined", studio.HalfNormal, patch.Patch{}, "a fault to make: one cord, two outputs",
		"The fault that does most harm takes one cord and no force.",
		Task{
			Ask:    "With one cord, join {source} and {other}.",
			Answer: "Plug from {top} to {other top}. Outputs stand above, so a cord between two top jacks joins two of them.",
			So:     "Both drive the same metal. What is heard is not defined, and real output stages run hot or fail. In a room this is the plug to unplug first.",
			Done:   func(_ Setup, state *heard.State) bool { return meet(state, t.source, t.other) },
		},
		Task{
			Ask:    "Mend it.",
			Answer: "Unplug either end of the cord; from below first, if one is below.",
			So:     "Nothing is joined, and the normal carries {source} to {destination} as before.",
			Done: func(_ Setup, state *heard.State) bool {
				return len(state.Contentions()) == 0 && only(state, t.destination, t.source)
			},
		})
}

func (t teacher) tapBelow() Lesson {
	return t.fault("fault-tap", studio.HalfNormal, patch.Patch{}, "a fault to make: a tap that taps nothing",
		"One of the two jacks of a half-normal pair taps, the other breaks.",
		Task{
			Ask:    "Somebody wants {another} to hear {source} beside {destination}, and takes the wrong jack of the pair: both are silent. Make that mistake.",
			Answer: "Plug from {bottom} to {third bottom}.",
			So:     "The plug below broke the normal, and behind it there is no source: the cord joins two inputs. Both are silent.",
			Done: func(s Setup, state *heard.State) bool {
				return s.In(t.bottom) != nil && s.In(t.thirdBottom) != nil && silent(state, t.destination) && silent(state, t.another)
			},
		},
		Task{
			Ask:    "Mend it: both are to hear {source}.",
			Answer: "Move the plug from {bottom} to {top}.",
			So:     "A plug above leaves the normal alone: {destination} and {another} both hear {source}.",
			Done:   t.bothHear,
		})
}

func (t teacher) tapAbove() Lesson {
	return t.fault("fault-turned", studio.HalfNormalTop, patch.Patch{}, "a fault to make: the habit, and a module that is turned round",
		"Of a pair whose module is the other way up, the top jack is the one that breaks.",
		Task{
			Ask:    "Send {source} to {another}, so that {destination} loses its signal.",
			Answer: "Plug from {top} to {third bottom}: the tap as it is always made.",
			So:     "{another} hears {source}, and {destination} lost it: here the plug above breaks.",
			Done: func(_ Setup, state *heard.State) bool {
				return only(state, t.another, t.source) && silent(state, t.destination)
			},
		},
		Task{
			Ask:    "Mend it: both are to hear {source}.",
			Answer: "Move the plug from {top} to {bottom}.",
			So:     "Below it taps. A bay with such modules says so on its strip, or somebody falls for it each week.",
			Done:   t.bothHear,
		})
}

func (t teacher) forgotten() Lesson {
	return t.fault("fault-forgotten", studio.FullNormal, patch.Patch{Dummies: []name.Point{t.bottom}}, "a fault to find: silence, and no cord in the bay",
		"{destination} hears nothing, though its normal is sound.",
		Task{
			Ask:    "{destination} should hear {source} by its normal. Find what is in the way, and take it out.",
			Answer: "A dummy stands in {bottom}. A plug breaks a full normal, with or without a cord. Take it out.",
			So:     "{destination} hears {source}. Dummy plugs are reported with the cords, as they are overlooked so easily.",
			Done: func(s Setup, state *heard.State) bool {
				return s.In(t.top) == nil && s.In(t.bottom) == nil && only(state, t.destination, t.source)
			},
		})
}

func (t teacher) mixed() Lesson {
	plugged := patch.Patch{Cords: []patch.Cord{{A: t.otherTop, B: t.bottom}}}
	return t.fault("fault-mixed", studio.Parallel, plugged, "a fault to find: somebody wanted to mix",
		"What {destination} hears is not what anybody meant.",
		Task{
			Ask:    "Say what is wrong, then unplug what has to come out first, so that {destination} hears {source} and nothing else.",
			Answer: "The cord from {other top} to {bottom} joins two outputs: a parallel pair splits, and never mixes. Unplug the cord.",
			So:     "{destination} hears {source} alone. Mixing belongs to a desk or to software.",
			Done: func(_ Setup, state *heard.State) bool {
				return len(state.Contentions()) == 0 && only(state, t.destination, t.source)
			},
		})
}

func (t teacher) bothHear(_ Setup, state *heard.State) bool {
	return only(state, t.destination, t.source) && only(state, t.another, t.source)
}
