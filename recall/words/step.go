package words

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
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
	h := hands{&w.Places}
	return h.action(s)
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
	"Switch phantom power off, and wait, before a microphone line is plugged.",
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
