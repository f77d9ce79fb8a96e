package words

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// Verb is what a step does, in one or two words.
func Verb(do plan.Do) string {
	switch do {
	case plan.Mute:
		return "mute"
	case plan.Unmute:
		return "unmute"
	case plan.PhantomOff:
		return "phantom off"
	case plan.PhantomOn:
		return "phantom on"
	case plan.Switch:
		return "switch"
	case plan.Plug:
		return "plug"
	case plan.Pull:
		return "unplug"
	case plan.MoveEnd:
		return "move plug"
	case plan.PlugDummy:
		return "plug dummy"
	case plan.PullDummy:
		return "unplug dummy"
	case plan.PlugLead:
		return "plug cable"
	case plan.PullLead:
		return "unplug cable"
	case plan.ChangeOver:
		return "change over"
	}
	return strings.ReplaceAll(Clean(string(do)), "-", " ")
}

// Joint is how the places of an action hang together.
type Joint uint8

const (
	// Alone is an action at places that no cord joins.
	Alone Joint = iota
	// Onward is from the first place to the second.
	Onward
	// Then is first the one place, afterwards the other.
	Then
)

// Action is what hands do in one step: at From, and where there is a second
// place, To.
type Action struct {
	From, To string
	Joint    Joint
	// Also is what stays, hangs or must be known while doing it.
	Also string
}

// String is the action in one line: "main 1 top -> main 25 bottom".
func (a Action) String() string {
	switch a.Joint {
	case Onward:
		return a.From + " -> " + a.To
	case Then:
		return Put("{first}, then {second}", "first", a.From, "second", a.To)
	case Alone:
	}
	return a.From
}

// Action words a step; what a matrix switches is in Switching.
func (w *Words) Action(s plan.Step) Action {
	switch s.Do {
	case plan.Plug:
		return w.pair(s.Ends, Onward)
	case plan.Pull:
		return w.pair(s.Ends, Then)
	case plan.PlugLead:
		return w.pair(w.sourceFirst(s.Ends), Onward)
	case plan.PullLead:
		ends := w.sourceFirst(s.Ends)
		slices.Reverse(ends)
		return w.pair(ends, Then)
	case plan.MoveEnd:
		return w.move(s)
	case plan.Mute, plan.Unmute:
		return w.mute(s)
	case plan.Switch:
		return Action{From: w.Owner(s.By)}
	case plan.ChangeOver:
		return w.changeOver(s)
	case plan.PlugDummy, plan.PullDummy, plan.PhantomOff, plan.PhantomOn:
	}
	return Action{From: w.Points(s.Ends)}
}

// sourceFirst are the port and the jack of a lead, the source's end first. A lead is
// plugged in that order and pulled in the other, so that no open lead hangs in an
// input. Of a port that nobody described, only the name is left to tell: one that begins
// with in, or is a return, is an input.
func (w *Words) sourceFirst(ends []name.Point) []name.Point {
	ordered := slices.Clone(ends)
	if len(ends) == 2 && w.listens(ends[0]) {
		slices.Reverse(ordered)
	}
	return ordered
}

func (w *Words) listens(port name.Point) bool {
	switch w.direction(port) {
	case studio.Input:
		return true
	case studio.Output:
		return false
	case studio.DirectionUnknown:
	}
	return strings.HasPrefix(port.Stem, "in") || port.Part == name.Return
}

func (w *Words) pair(ends []name.Point, joint Joint) Action {
	if len(ends) != 2 {
		a := Action{From: w.Points(ends)}
		if joint == Onward {
			a.Also = "leave the other end loose"
		}
		return a
	}
	return Action{From: w.Point(ends[0]), To: w.Point(ends[1]), Joint: joint}
}

// move words the end of a cord that goes elsewhere: only what moves is large,
// and the end that stays is said beside it.
func (w *Words) move(s plan.Step) Action {
	leaves := without(s.Ends, s.To)
	enters := without(s.To, s.Ends)
	stays := without(s.Ends, leaves)
	a := Action{Joint: Onward}
	if len(stays) > 0 {
		a.Also = Put("leave the other end in {jack}", "jack", w.Points(stays))
	}
	switch {
	case len(leaves) == 0 && len(enters) == 0:
		return Action{From: w.Points(s.Ends), Also: "no change"}
	case len(leaves) == 0:
		a.From, a.To = "the loose end", w.Points(enters)
	case len(enters) == 0:
		a.From, a.To = w.Points(leaves), "loose"
	default:
		a.From, a.To = w.Points(leaves), w.Points(enters)
	}
	return a
}

func without(points, those []name.Point) []name.Point {
	var rest []name.Point
	for _, p := range points {
		if !slices.Contains(those, p) {
			rest = append(rest, p)
		}
	}
	return rest
}

func (w *Words) mute(s plan.Step) Action {
	a := Action{From: w.Points(s.Ends)}
	var places []string
	for _, p := range s.Ends {
		if at := w.MuteAt(p); at != "" && !slices.Contains(places, at) {
			places = append(places, at)
		}
	}
	switch {
	case s.Do == plan.Unmute && len(places) > 0:
		a.Also = Put("at {switches}; bring the level back slowly", "switches", List(places))
	case s.Do == plan.Unmute:
		a.Also = "bring the level back slowly"
	case len(places) > 0:
		a.Also = Put("at {switches}", "switches", List(places))
	}
	return a
}

// Switching says what a matrix does in a step, one phrase an output: "in 5
// -> out 1", "out 2 off".
func (w *Words) Switching(s plan.Step) []string {
	var phrases []string
	for _, c := range s.Crosspoints {
		if c.Input.IsZero() {
			phrases = append(phrases, Put("{output} off", "output", w.Port(c.Output)))
			continue
		}
		phrases = append(phrases, labelled(w.called([]name.Point{c.Output}), w.Port(c.Input)+" -> "+w.Port(c.Output)))
	}
	return phrases
}

// Purpose says what the cord of a step carries once the step is done, with the names
// of the session's lines; empty where it carries nothing, or the wiring does not tell.
func (w *Words) Purpose(s plan.Step) string {
	ends := s.Ends
	switch s.Do {
	case plan.MoveEnd:
		ends = s.To
	case plan.Plug, plan.PlugLead:
	case plan.Switch:
		return w.unsaid(s)
	case plan.Pull, plan.PullLead, plan.PlugDummy, plan.PullDummy,
		plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.ChangeOver:
		return ""
	}
	if len(ends) != 2 {
		return ""
	}
	return labelled(w.lines(s, ends), w.Carries(ends[0], ends[1]))
}

// unsaid are the names of lines that go over what a matrix switches and that stand at
// none of its outputs.
func (w *Words) unsaid(s plan.Step) string {
	var all []string
	for _, line := range s.Lines {
		said := slices.ContainsFunc(s.Crosspoints, func(c plan.Change) bool { return w.called([]name.Point{c.Output}) == Clean(line) })
		if !said {
			all = append(all, Clean(line))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return Put("for {lines}", "lines", strings.Join(all, ", "))
}

// Cautions are the usual ones beside a bay. They come before everything that a
// sheet or a page asks for.
var Cautions = []string{
	"Turn loudspeakers and headphones down before plugging.",
	"Switch phantom power off before a microphone line is plugged.",
	"Never bring loudspeaker-level or mains lines to a bay.",
	"Mains and loudspeaker wiring: follow local codes; leave it to licensed people.",
}

// Names are the places of a step as files have them: "main/t1 - main/b25",
// and "main/t3 - main/b27 => main/t3 - main/b28" for an end that moves.
func Names(s plan.Step) string {
	text := join(s.Ends)
	if len(s.To) > 0 {
		text += " => " + join(s.To)
	}
	return text
}

func join(points []name.Point) string {
	var names []string
	for _, p := range points {
		names = append(names, p.String())
	}
	return strings.Join(names, " - ")
}
