package bench

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// Lesson is something that hands learn by doing.
type Lesson struct {
	Name, Title string
	// About is what it teaches, in a sentence.
	About string
	Begin Setup
	Tasks []Task
	// At are the jacks and ports that it is about.
	At []name.Point
}

// Task is one thing to do.
type Task struct {
	// Ask says what, So what is to be seen once it is done.
	Ask, So string
	// Jacks are those that Ask names; an output and an input of a matrix are the
	// crosspoint between them.
	Jacks []name.Point
	// Answer says how, to whoever asks for it; empty where Ask says it already.
	Answer string
	// Done tells by what stands on the bench and what it does.
	Done func(Setup, *heard.State) bool
}

// Lessons are those that can be given in a studio: one for each mode of a pair, and
// some that ask for a fault, where it has a bay with an output and an input at one pair and two other pieces
// of gear, and one for crosspoints where it has a matrix between gear.
func Lessons(of *studio.Studio, w *words.Words) []Lesson {
	var all []Lesson
	if s, ok := setting(of); ok {
		t := teacher{of, w, s}
		all = append(all, t.normal(), t.halfNormal(), t.turnedRound(), t.isolated(), t.parallel())
		all = append(all, t.faults()...)
	}
	if s, ok := matrixStage(of); ok {
		all = append(all, crosspoint(w, s))
	}
	return all
}

// teacher writes the lessons of one stage.
type teacher struct {
	of    *studio.Studio
	words *words.Words
	stage
}

// put fills in the names of places: {top}, {bottom}, {source}, {destination} of
// the pair, {other} behind {other top}, and {another} behind {third bottom}.
func (t teacher) put(text string) string {
	say := t.words.Point
	return strings.NewReplacer(
		"{top}", say(t.top), "{bottom}", say(t.bottom), "{source}", say(t.source), "{destination}", say(t.destination),
		"{other top}", say(t.otherTop), "{other}", say(t.other), "{third bottom}", say(t.thirdBottom), "{another}", say(t.another),
	).Replace(text)
}

// named are the jacks that a text asks for.
func (t teacher) named(text string) []name.Point {
	var all []name.Point
	for _, one := range []struct {
		place string
		jack  name.Point
	}{{"{top}", t.top}, {"{bottom}", t.bottom}, {"{other top}", t.otherTop}, {"{third bottom}", t.thirdBottom}} {
		if strings.Contains(text, one.place) {
			all = append(all, one.jack)
		}
	}
	return all
}

func (t teacher) lesson(mode studio.Mode, title, about string, tasks ...Task) Lesson {
	begin, _ := Setup{}.Turn(t.of, t.top, mode) // the pair is the studio's, and the mode one that there is
	for i := range tasks {
		tasks[i].Jacks = t.named(tasks[i].Ask)
		tasks[i].Ask, tasks[i].So = t.put(tasks[i].Ask), t.put(tasks[i].So)
	}
	return Lesson{
		Name: mode.String(), Title: title, About: t.put(about), Begin: begin, Tasks: tasks,
		At: []name.Point{t.top, t.bottom, t.otherTop, t.thirdBottom},
	}
}

// only says whether a destination hears one source and nothing else.
func only(state *heard.State, destination, source name.Point) bool {
	return slices.Equal(state.Hears(destination), []name.Point{source})
}

func silent(state *heard.State, destination name.Point) bool {
	return len(state.Hears(destination)) == 0
}

func (t teacher) normal() Lesson {
	return t.lesson(studio.FullNormal, "normal: a plug in either jack breaks it",
		"Two jacks that are joined as long as nobody plugs anything. The usual way needs no cord.",
		Task{
			Ask: "With no plug in it, {destination} hears {source}. Put a dummy into {top}: touch {top}, then “only a dummy here”.",
			So:  "{destination} is silent. The plug in the top jack broke the normal, and a dummy does it as well as a cord.",
			Done: func(s Setup, state *heard.State) bool {
				return s.In(t.top) != nil && s.In(t.bottom) == nil && silent(state, t.destination)
			},
		},
		Task{
			Ask: "Take the dummy out, and bring {other} to {destination} instead: plug from {other top} to {bottom}.",
			So:  "The plug in the bottom jack broke the normal too, and {destination} hears {other} alone. Unplug the cord, and the usual way is back by itself.",
			Done: func(s Setup, state *heard.State) bool {
				return s.In(t.top) == nil && only(state, t.destination, t.other)
			},
		})
}

func (t teacher) halfNormal() Lesson {
	return t.lesson(studio.HalfNormal, "half-normal: above taps, below breaks",
		"The most common mode: the bottom jack breaks the normal, the top one leaves it alone.",
		Task{
			Ask: "Tap {source}: plug from {top} to {third bottom}.",
			So:  "Both {destination} and {another} hear {source}: the plug in the top jack left the normal alone. One output now feeds two inputs, which line inputs of some kilohms take well, and low ones load.",
			Done: func(s Setup, state *heard.State) bool {
				return s.In(t.top) != nil && only(state, t.destination, t.source) && only(state, t.another, t.source)
			},
		},
		Task{
			Ask:  "Now take over {destination}: plug from {other top} to {bottom}.",
			So:   "The plug in the bottom jack broke the normal, and {destination} hears {other} alone. The tap goes on as before.",
			Done: func(_ Setup, state *heard.State) bool { return only(state, t.destination, t.other) },
		})
}

func (t teacher) turnedRound() Lesson {
	return t.lesson(studio.HalfNormalTop, "half-normal-top: the module turned round",
		"The same module the other way up: the top jack breaks the normal, the bottom one leaves it alone. It belongs where the source stands below.",
		Task{
			Ask: "Put a dummy into {top}.",
			So:  "{destination} is silent. With the source above, as here, it can no longer be tapped where one looks for it.",
			Done: func(s Setup, state *heard.State) bool {
				return s.In(t.top) != nil && s.In(t.bottom) == nil && silent(state, t.destination)
			},
		},
		Task{
			Ask: "Take it out, and plug from {bottom} to {third bottom}.",
			So:  "Both {destination} and {another} hear {source}: here it is the bottom jack that taps.",
			Done: func(s Setup, state *heard.State) bool {
				return s.In(t.bottom) != nil && only(state, t.destination, t.source) && only(state, t.another, t.source)
			},
		})
}

func (t teacher) isolated() Lesson {
	return t.lesson(studio.Isolated, "isolated: nothing without a cord",
		"Two jacks that have nothing to do with each other, for gear that waits to be called for.",
		Task{
			Ask:  "{destination} hears nothing now. Plug from {top} to {bottom}.",
			So:   "{destination} hears {source}, by the cord and by nothing else.",
			Done: func(_ Setup, state *heard.State) bool { return only(state, t.destination, t.source) },
		},
		Task{
			Ask:  "Unplug the cord again: drag one of its plugs off the bay, or touch it and then “it is out”.",
			So:   "Silence. Gear whose output stands over its own input belongs on isolated pairs: a normal there would make it hear itself, and feed back.",
			Done: func(s Setup, state *heard.State) bool { return s.In(t.top) == nil && silent(state, t.destination) },
		})
}

func (t teacher) parallel() Lesson {
	return t.lesson(studio.Parallel, "parallel: one piece of metal",
		"Both jacks, and what is behind them, are always joined. It splits a signal, and it never mixes.",
		Task{
			Ask: "Plug from {bottom} to {third bottom}.",
			So:  "{destination} and {another} both hear {source}. That is what a parallel pair is for.",
			Done: func(s Setup, state *heard.State) bool {
				return s.In(t.bottom) != nil && only(state, t.destination, t.source) && only(state, t.another, t.source)
			},
		},
		Task{
			Ask: "Now a mistake on purpose, since nothing is harmed here. Unplug that cord, and plug from {other top} to {bottom}.",
			So:  "Two outputs are joined. They drive each other, what is heard is not defined, and real output stages run hot or fail. Read what the rule says. In a room this is the plug to unplug first; mixing belongs to a desk or to software.",
			Done: func(_ Setup, state *heard.State) bool {
				return meet(state, t.source, t.other)
			},
		})
}

// crosspoint is the lesson about a matrix.
func crosspoint(w *words.Words, s switching) Lesson {
	second := Task{
		Ask:   fmt.Sprintf("Close a second crosspoint of the same output: %s -> %s.", w.Port(s.two), w.Point(s.output)),
		So:    fmt.Sprintf("Now %s -> %s: an output of an active matrix takes one input at a time.", w.Point(s.twoSource), w.Point(s.destination)),
		Done:  func(_ Setup, state *heard.State) bool { return only(state, s.destination, s.twoSource) },
		Jacks: []name.Point{s.output, s.two},
	}
	kind := "In a matrix of amplifiers a crosspoint carries one way, from an input to an output."
	if s.contacts {
		kind = "In a matrix of relays a closed crosspoint is metal, as a cord is."
		second.So = fmt.Sprintf("%s and %s are joined through the relays: outputs that drive each other, as with a wrong cord. Open one of the two.",
			w.Point(s.oneSource), w.Point(s.twoSource))
		second.Done = func(_ Setup, state *heard.State) bool { return state.Joined(s.oneSource, s.twoSource) }
	}
	return Lesson{
		Name: "crosspoint", Title: "crosspoint: a cord that a matrix plugs", About: kind,
		Tasks: []Task{{
			Ask:   fmt.Sprintf("Touch the square where the row of %s meets the column of %s.", w.Point(s.output), w.Port(s.one)),
			So:    fmt.Sprintf("%s hears %s.", w.Point(s.destination), w.Point(s.oneSource)),
			Done:  func(_ Setup, state *heard.State) bool { return only(state, s.destination, s.oneSource) },
			Jacks: []name.Point{s.output, s.one},
		}, second},
		At: []name.Point{s.output, s.one, s.two},
	}
}
