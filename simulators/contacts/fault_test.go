package contacts_test

// fault is one mistake that could have been made in the nets: a text of a
// source file below model, and what a mistaken hand would have written.
type fault struct {
	title          string
	file           string
	right, mistake string
}

// always are tried in every run of the tests; the others only where all are
// asked for, since each builds the model anew.
var always = []string{"change does not reach what is downstream"}

var faults = []fault{
	// Pairs.
	{"half-normal breaks at the top", "graph/build.go",
		"BreaksA: !mode.Joined(true, false),", "BreaksA: !mode.Joined(true, false) || mode == studio.HalfNormal,"},
	{"half-normal does not break at the bottom", "graph/build.go",
		"BreaksB: !mode.Joined(false, true),", "BreaksB: !mode.Joined(false, true) && mode != studio.HalfNormal,"},
	{"full normal ignores the bottom plug", "graph/build.go",
		"BreaksB: !mode.Joined(false, true),", "BreaksB: !mode.Joined(false, true) && mode != studio.FullNormal,"},
	{"full normal ignores the top plug", "graph/build.go",
		"BreaksA: !mode.Joined(true, false),", "BreaksA: !mode.Joined(true, false) && mode != studio.FullNormal,"},
	{"module turned round is not", "graph/build.go",
		"BreaksA: !mode.Joined(true, false),", "BreaksA: mode == studio.FullNormal,"},
	{"parallel pair is isolated", "graph/build.go",
		"if mode == studio.Parallel {", "if mode == studio.Parallel && i < 0 {"},
	{"isolated pair is parallel", "graph/build.go",
		"if mode == studio.Parallel {", "if mode == studio.Parallel || mode == studio.Isolated {"},
	{"normal carries only downward", "graph/state.go",
		"if to := g.Across(m, n); s.net[to] == None && s.Holds(m) {", "if to := g.Across(m, n); s.net[to] == None && s.Holds(m) && n == g.Jacks[g.Normals[m].A].Node {"},
	{"faulty normal still holds", "graph/build.go",
		"if slices.Contains(g.Studio.FaultyNormals, top) {", "if slices.Contains(g.Studio.FaultyNormals, bay.BottomJack(i+1)) {"},
	{"strapped normal breaks at the left too", "graph/build.go",
		"BreaksB: true, By: ByStrap", "BreaksA: true, BreaksB: true, By: ByStrap"},
	{"strapped normal breaks at the left instead", "graph/build.go",
		"BreaksB: true, By: ByStrap", "BreaksA: true, By: ByStrap"},

	// What is plugged.
	{"dummy does not count", "graph/contents.go",
		"plugs := p.Plugs()", "p.Dummies = nil\n\tplugs := p.Plugs()"},
	{"loose cord does not break", "graph/contents.go",
		"plugs := p.Plugs()", "p.Cords = slices.DeleteFunc(slices.Clone(p.Cords), func(c patch.Cord) bool { return c.B.IsZero() })\n\tplugs := p.Plugs()"},
	{"plug of a lead does not break", "graph/contents.go",
		"plugs := p.Plugs()", "plugs := (patch.Patch{Cords: p.Cords, Dummies: p.Dummies}).Plugs()"},
	{"plug in a socket at the front does not count", "graph/contents.go",
		"plugs = append(plugs, l.Port)", "_ = l"},
	{"input that is taken over still listens", "graph/state.go",
		"return s.plugged[front] > 0 ||", "return"},
	{"cable in a socket at the front does not count", "graph/state.go",
		"|| len(g.Nodes[g.Node[front]].Points) > 1", ""},
	{"loop goes through an input that is taken over", "heard/loop.go",
		"if !meant(p.In) && !meant(p.Out) && !s.state.TakenOver(p.In) {", "if !meant(p.In) && !meant(p.Out) {"},
	{"box lacks its last socket", "graph/build.go",
		"for n := 1; n <= box.Sockets; n++ {\n\t\t\taddPoint", "for n := 1; n < box.Sockets; n++ {\n\t\t\taddPoint"},
	{"switch lets both choices through", "heard/session.go",
		"if i > 0 && !slices.Contains(s.Choices[0], p) {", "if i > len(choice) {"},
	{"lead is not joined", "graph/contents.go",
		"link(Lead, l.Port, l.Jack)", "_ = l"},
	{"cord carries only one way", "graph/state.go",
		"if to := g.Node[l.a] + g.Node[l.b] - n; s.net[to] == None {", "if to := g.Node[l.b]; s.net[to] == None {"},

	// What is soldered.
	{"tie carries only one way", "graph/build.go",
		"fix(g, t.A, t.B, ByTie)", "g.Passes = append(g.Passes, g.Numbers([]studio.Pass{{In: t.A, Out: t.B}})...)"},
	{"mult drops its last jack", "graph/build.go",
		"for _, p := range m.Jacks {", "for _, p := range m.Jacks[:len(m.Jacks)-1] {"},
	{"wire into an input is forgotten", "graph/build.go",
		"fix(g, w.From, w.To, ByWire)", "if n, ok := g.Number[w.To]; ok && g.Kinds[n] == GearInput && g.Kinds[g.Number[w.From]] == GearOutput {\n\t\t\tcontinue\n\t\t}\n\t\tfix(g, w.From, w.To, ByWire)"},

	// Matrices.
	{"relays are ignored on one side", "graph/contents.go",
		"if a != b {\n\t\ts.loose[b] = append(", "if a != b && l.kind != Cross {\n\t\ts.loose[b] = append("},
	{"relays are taken for amplifiers", "graph/matrices.go",
		"Relay: m.Kind == studio.Contacts", "Relay: false"},
	{"amplifiers are taken for relays", "graph/matrices.go",
		"Relay: m.Kind == studio.Contacts", "Relay: true"},
	{"amplifier carries backwards", "graph/listen.go",
		"return s.net[s.Graph.Outputs[s.Graph.Crosses[x].Output].Node]", "return s.net[s.Graph.Crosses[x].From]"},
	{"output that is off does not drive", "graph/state.go",
		"(!out.HighImpedance || len(s.behind[o]) > 0)", "len(s.behind[o]) > 0"},
	{"output that lets go drives", "graph/state.go",
		"(!out.HighImpedance || len(s.behind[o]) > 0)", "len(s.behind) > 0"},
	{"signal passes one amplifier only", "graph/listen.go",
		"add(s.nets[s.net[s.Graph.Crosses[x].From]].heard)", "for _, m := range s.nets[s.net[s.Graph.Crosses[x].From]].nodes {\n\t\t\t\t\tadd(s.Graph.Nodes[m].Sources)\n\t\t\t\t}"},

	// Contentions and loops.
	{"only gear outputs are in contention", "graph/state.go",
		"if s.Drives(o) {\n\t\t\t\tcount++\n\t\t\t}", "_ = o"},
	{"contention leaves out amplifiers", "graph/listen.go",
		"if s.Drives(o) {", "if s.Drives(o) && len(drivers) == 0 {"},
	{"net that feeds itself is no loop", "heard/loop.go",
		"if len(knot) > 1 || nets.HasEdgeFromTo(set[0].ID(), set[0].ID()) {", "if len(knot) > 1 {"},
	{"loop through an amplifier is overlooked", "graph/round.go",
		"visit(s.net[o.Node])", "_ = o.Node"},
	{"loop through what the software carries is overlooked", "graph/round.go",
		"slices.Concat(g.Passes, g.Numbers(inside))", "slices.Concat(g.Passes, g.Numbers(inside)[:0])"},

	// Changes.
	{"pulled plug does not close its normal", "graph/contents.go",
		"if s.plugged[p] > 0 {", "if s.plugged[p] > 1 {"},
	{"change does not reach what is downstream", "graph/listen.go",
		"r.stale = s.leadingFrom(nets, s.marks, r.stale[:0])", "r.stale = append(r.stale[:0], nets...)"},
	{"cord told from its other end stays in", "graph/contents.go",
		"return link{k, min(a, b), max(a, b)}", "return link{k, a, b}"},
	{"pulled cord stays at one end", "graph/contents.go",
		"s.loose[b] = without(s.loose[b], l)", "_ = b"},
	{"contention that was ended is still counted", "graph/state.go",
		"s.contended--", "_ = s.contended"},
	{"opened crosspoint of an amplifier stays", "graph/contents.go",
		"s.behind[o] = without(s.behind[o], x)", "_ = o"},
	{"broken normal is not looked at again", "graph/contents.go",
		"touched = append(touched, g.Jacks[g.Normals[m].A].Node, g.Jacks[g.Normals[m].B].Node)", "touched = append(touched, g.Jacks[j].Node)\n\t\t\t_ = m"},

	// Sessions.
	{"guest is left out", "heard/session.go",
		"to.Gear = withGuests(to.Gear, s.Guests)", "_ = withGuests"},
	{"switch that the session turns stays", "heard/session.go",
		"to.Gear = WithSelections(to.Gear, s.Selections)", "_ = WithSelections"},

	// Ways.
	{"origins overlook what the software carries", "heard/loop.go",
		"for _, f := range s.flows(inside, nil) {", "for _, f := range s.flows(nil, nil) {"},
	{"source goes on through inputs that are taken over", "heard/change.go",
		"return s.names(slices.DeleteFunc(inputs, s.state.TakenOver))", "return s.names(inputs)"},
	{"way goes backwards through an amplifier", "heard/way.go",
		"edges[in] = append(edges[in], edge{g.Outputs[o].Point, ByCrosspoint})", "edges[g.Outputs[o].Point] = append(edges[g.Outputs[o].Point], edge{in, ByCrosspoint})"},
	{"way goes through a broken normal", "heard/way.go",
		"if s.state.Holds(m) {", "if s.state.Holds(m) || n.By == ByNormal {"},
	{"plug that breaks a way is not named", "heard/break.go",
		"add(n.BreaksB, n.B)", "_ = n.B"},
	{"plug that breaks no way is named", "heard/break.go",
		"add(n.BreaksA, n.A)", "add(true, n.A)"},
	{"normal that closes behind a cord is forgotten", "heard/break.go",
		"breaks[i].Leaves = slices.Contains(after.Hears(w.To), w.From)", "breaks[i].Leaves = false && after != nil"},
}
