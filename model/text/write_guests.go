package text

import (
	"slices"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

func (w *sessionWriter) substitutes(all []session.Substitute) {
	var items []string
	for _, s := range all {
		items = append(items, s.Away+": "+s.StandIn)
	}
	if len(items) > 0 {
		w.line(0, "substitute: {"+strings.Join(items, ", ")+"}")
	}
}

func (w *sessionWriter) selections(all []session.Selection) {
	var gear []string
	choices := map[string][]string{}
	for _, s := range all {
		if choices[s.Gear] == nil {
			gear = append(gear, s.Gear)
		}
		choices[s.Gear] = append(choices[s.Gear], quoteCommas(portsText(firstRange(s.Ports))))
	}
	if len(gear) > 0 {
		w.line(0, "select:")
	}
	for _, g := range gear {
		w.line(1, g+": "+inputsText(choices[g]))
	}
}

// quoteCommas puts a list of numbers into quotes, as it must be inside brackets.
func quoteCommas(text string) string {
	if strings.Contains(text, ",") {
		return quotedText(text)
	}
	return text
}

func (w *sessionWriter) guests(guests []studio.Gear) {
	if len(guests) > 0 {
		w.line(0, "guests:")
	}
	lines := linesOf(w.studio)
	for _, g := range guests {
		w.line(1, g.Name+":")
		w.gear(g, lines)
	}
}

// gear writes a piece of gear, port by port, so that what channels, inserts and
// sockets stand for is written out.
func (w *sessionWriter) gear(g studio.Gear, lines map[string]studio.Line) {
	if g.Label != "" {
		w.pair(2, "label", g.Label)
	}
	if g.Short != "" {
		w.pair(2, "short", g.Short)
	}
	w.gearPorts(g, lines)
	w.ownPasses("passes", beyondChannels(g))
	w.ownPasses("can-pass", g.CanPass)
	if g.Role != studio.RoleUnsaid {
		w.line(2, "role: "+g.Role.String())
	}
	switch {
	case g.Mute.ByPerson && g.Mute.At != "":
		w.line(2, "mute: {by: person, at: "+scalarText(g.Mute.At)+"}")
	case g.Mute.ByPerson:
		w.line(2, "mute: {by: person}")
	case !g.Mute.Output.IsZero():
		w.line(2, "mute: {by: "+g.Mute.Output.String()+"}")
	}
	if g.MIDI != nil {
		w.line(2, "midi: {port: "+scalarText(g.MIDI.Port)+", channel: "+strconv.Itoa(g.MIDI.Channel)+", first: "+strconv.Itoa(g.MIDI.First)+"}")
	}
	w.switches(g)
	w.sockets(g.Sockets)
	w.sound(g.Sound)
	if g.NoTest {
		w.line(2, "test: no")
	}
	if g.InsertTip != name.Whole {
		w.line(2, "insert-tip: "+strings.TrimPrefix(g.InsertTip.String(), "."))
	}
	if g.Place.Said {
		w.line(2, "place: "+placeText(g.Place))
	}
	if g.Loose {
		w.line(2, "loose: true")
	}
	if len(g.At) > 0 {
		w.line(2, "at: "+inputsText(g.At))
	}
}

func placeText(p studio.Place) string {
	if p.Rack != "" {
		return "{rack: " + p.Rack + ", unit: " + strconv.Itoa(p.Unit) + "}"
	}
	return "{x: " + p.X.String() + ", y: " + p.Y.String() + "}"
}

func (w *sessionWriter) gearPorts(g studio.Gear, lines map[string]studio.Line) {
	w.ports("inserts", g, lines, func(p studio.Port) bool { return p.Point.Part == name.Send })
	plain := func(d studio.Direction) func(p studio.Port) bool {
		return func(p studio.Port) bool {
			return p.Direction == d && p.Point.Part == name.Whole && !ofChannel(g, p.Point)
		}
	}
	w.ports("outputs", g, lines, plain(studio.Output))
	w.ports("inputs", g, lines, plain(studio.Input))
	if g.Channels > 0 {
		at := slices.IndexFunc(g.Ports, func(p studio.Port) bool { return ofChannel(g, p.Point) })
		w.line(2, "channels: "+strconv.Itoa(g.Channels))
		w.line(2, "line: "+scalarText(g.Ports[at].Line.Name))
	}
}

// ofChannel says whether a port is one of those that channels give.
func ofChannel(g studio.Gear, p name.Point) bool {
	return (p.Stem == "in" || p.Stem == "out") && p.Part == name.Whole && p.Number >= 1 && p.Number <= g.Channels
}

// beyondChannels are the passes of gear without those that channels give.
func beyondChannels(g studio.Gear) []studio.Pass {
	return slices.DeleteFunc(slices.Clone(g.Passes), func(p studio.Pass) bool {
		return ofChannel(g, p.In) && ofChannel(g, p.Out) && p.In.Number == p.Out.Number
	})
}

// ports writes runs of ports that are alike.
func (w *sessionWriter) ports(key string, g studio.Gear, lines map[string]studio.Line, wanted func(studio.Port) bool) {
	var runs [][]studio.Port
	for _, p := range g.Ports {
		if !wanted(p) {
			continue
		}
		last := len(runs) - 1
		if last >= 0 && runs[last][0].Line == p.Line && runs[last][0].Label == p.Label && runs[last][0].Short == p.Short && runs[last][0].NoTest == p.NoTest && nextTo(runs[last], p) {
			runs[last] = append(runs[last], p)
			continue
		}
		runs = append(runs, []studio.Port{p})
	}
	if len(runs) > 0 {
		w.line(2, key+":")
	}
	for _, run := range runs {
		points := make([]name.Point, len(run))
		for i, p := range run {
			points[i] = half(p.Point, name.Whole)
		}
		w.line(3, portsText(points)+": "+portText(run[0], lines))
	}
}

func nextTo(run []studio.Port, p studio.Port) bool {
	after := run[len(run)-1].Point
	after.Number++
	return after == p.Point && after.Number > 1
}

// portText is the line of a port, with what it has of its own.
func portText(p studio.Port, lines map[string]studio.Line) string {
	if p.Line.Name == "" {
		return studio.BuiltInLines()[0].Name // of gear that nobody described
	}
	kind := lines[p.Line.Name]
	own := ""
	add := func(key, value string, differs bool) {
		if differs {
			own += ", " + key + ": " + value
		}
	}
	add("label", scalarText(p.Label), p.Label != "")
	add("short", scalarText(p.Short), p.Short != "")
	add("test", "no", p.NoTest)
	add("level", exactly(float64(p.Line.Level))+" dBu", p.Line.Level != kind.Level)
	add("max", exactly(float64(p.Line.Max))+" dBu", p.Line.Max != kind.Max)
	add("source", exactly(float64(p.Line.Source))+" ohm", p.Line.Source != kind.Source)
	add("load", exactly(float64(p.Line.Load))+" ohm", p.Line.Load != kind.Load)
	add("min-load", exactly(float64(p.Line.MinLoad))+" ohm", p.Line.MinLoad != kind.MinLoad)
	add("level-into", exactly(float64(p.Line.LevelInto))+" ohm", p.Line.LevelInto != kind.LevelInto)
	add("balanced", balancedText(p.Line), p.Line.Balanced != kind.Balanced || p.Line.Stage != kind.Stage)
	add("phantom", strconv.FormatBool(p.Line.Phantom), p.Line.Phantom != kind.Phantom)
	add("plug", scalarText(p.Line.Plug), p.Line.Plug != kind.Plug)
	if own == "" {
		return scalarText(p.Line.Name)
	}
	return "{line: " + scalarText(p.Line.Name) + own + "}"
}

// balancedText is the kind of a balanced port, or whether it is one.
func balancedText(l studio.Line) string {
	if l.Stage != studio.StageUnsaid {
		return l.Stage.String()
	}
	return strconv.FormatBool(l.Balanced)
}

// exactly is a number that reads back as the same, where printing for people
// would round it.
func exactly(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (w *sessionWriter) ownPasses(key string, passes []studio.Pass) {
	var items []string
	for _, text := range foldPasses(passes) {
		in, out, _ := strings.Cut(text, " -> ")
		_, in, _ = strings.Cut(in, "/")
		_, out, _ = strings.Cut(out, "/")
		items = append(items, in+" -> "+out)
	}
	w.list(2, key, items)
}

func (w *sessionWriter) switches(g studio.Gear) {
	var switches []string
	for _, s := range g.Selects {
		var choices []string
		for _, c := range s.Choices {
			choices = append(choices, choiceText(c))
		}
		switches = append(switches, "["+strings.Join(choices, ", ")+"]")
	}
	if len(switches) > 0 {
		w.line(2, "select: ["+strings.Join(switches, ", ")+"]")
	}
	var steals []string
	for _, s := range g.Overrides {
		steals = append(steals, s.Front.Port()+": "+s.Rear.Port())
	}
	if len(steals) > 0 {
		w.line(2, "steals: {"+strings.Join(steals, ", ")+"}")
	}
}

func choiceText(choice []name.Point) string {
	var words []string
	for _, text := range name.Fold(choice) {
		words = append(words, quoteCommas(text[len(choice[0].Owner)+1:]))
	}
	return inputsText(words)
}
