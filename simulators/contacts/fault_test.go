package contacts_test

// fault is one mistake that could have been made in the nets: a text of a
// source file of model/heard, and what a mistaken hand would have written.
type fault struct {
	title          string
	file           string
	right, mistake string
}

// always are tried in every run of the tests; the others only where all are
// asked for, since each builds the model anew.
var always = []string{"change does not reach what is downstream"}

var planted = []fault{
	// Pairs.
	{"half-normal breaks at the top", "room.go",
		"breaksA: !mode.Joined(true, false),", "breaksA: !mode.Joined(true, false) || mode == studio.HalfNormal,"},
	{"half-normal does not break at the bottom", "room.go",
		"breaksB: !mode.Joined(false, true),", "breaksB: !mode.Joined(false, true) && mode != studio.HalfNormal,"},
	{"full normal ignores the bottom plug", "room.go",
		"breaksB: !mode.Joined(false, true),", "breaksB: !mode.Joined(false, true) && mode != studio.FullNormal,"},
	{"full normal ignores the top plug", "room.go",
		"breaksA: !mode.Joined(true, false),", "breaksA: !mode.Joined(true, false) && mode != studio.FullNormal,"},
	{"module turned round is not", "room.go",
		"breaksA: !mode.Joined(true, false),", "breaksA: mode == studio.FullNormal,"},
	{"parallel pair is isolated", "room.go",
		"r.fixed = append(r.fixed, joint{top, bottom, ByParallel})", "_ = ByParallel"},
	{"isolated pair is parallel", "room.go",
		"case studio.Isolated, studio.ModeUnknown:", "case studio.Isolated:\n\t\tr.fixed = append(r.fixed, joint{top, bottom, ByParallel})\n\t\treturn\n\tcase studio.ModeUnknown:"},
	{"normal carries only downward", "state.go",
		"add(p.a)\n\t\t\tadd(p.b)", "add(p.b)"},
	{"faulty normal still holds", "room.go",
		"if slices.Contains(r.studio.FaultyNormals, r.points[top]) {", "if slices.Contains(r.studio.FaultyNormals, r.points[bottom]) {"},
	{"strapped normal breaks at the left too", "room.go",
		"breaksB: true, by: ByStrap", "breaksA: true, breaksB: true, by: ByStrap"},
	{"strapped normal breaks at the left instead", "room.go",
		"breaksB: true, by: ByStrap", "breaksA: true, by: ByStrap"},

	// What is plugged.
	{"dummy does not count", "live.go",
		"plugs := p.Plugs()", "p.Dummies = nil\n\tplugs := p.Plugs()"},
	{"loose cord does not break", "live.go",
		"plugs := p.Plugs()", "p.Cords = slices.DeleteFunc(slices.Clone(p.Cords), func(c patch.Cord) bool { return c.B.IsZero() })\n\tplugs := p.Plugs()"},
	{"plug of a lead does not break", "live.go",
		"plugs := p.Plugs()", "plugs := (patch.Patch{Cords: p.Cords, Dummies: p.Dummies}).Plugs()"},
	{"plug in a socket at the front does not count", "live.go",
		"plugs = append(plugs, l.Port)", "_ = l"},
	{"input that is taken over still listens", "steal.go",
		"if s.plugged[front] > 0 ||", "if"},
	{"cable in a socket at the front does not count", "steal.go",
		"|| len(s.room.islands[s.room.island[front]].points) > 1", ""},
	{"loop goes through an input that is taken over", "loop.go",
		"if !meant(in) && !meant(out) && !s.stolen(in) {", "if !meant(in) && !meant(out) {"},
	{"box lacks its last socket", "room.go",
		"n <= b.Sockets", "n < b.Sockets"},
	{"switch lets both choices through", "session.go",
		"if i > 0 && !slices.Contains(s.Choices[0], p) {", "if i > len(choice) {"},
	{"lead is not joined", "live.go",
		"joints = s.joint(joints, l.Port, l.Jack, ByLead)", "_, _ = l, ByLead"},
	{"cord carries only one way", "state.go",
		"add(j.a)\n\t\tadd(j.b)", "add(j.b)"},

	// What is soldered.
	{"tie carries only one way", "room.go",
		"r.fix(t.A, t.B, ByTie)", "r.passes = append(r.passes, r.numbered([]studio.Pass{{In: t.A, Out: t.B}})...)"},
	{"mult drops its last jack", "room.go",
		"for _, p := range m.Jacks {", "for _, p := range m.Jacks[:len(m.Jacks)-1] {"},
	{"wire into an input is forgotten", "room.go",
		"r.fix(w.From, w.To, ByWire)", "if n, ok := r.number[w.To]; ok && r.kinds[n] == gearInput && r.kinds[r.number[w.From]] == gearOutput {\n\t\t\tcontinue\n\t\t}\n\t\tr.fix(w.From, w.To, ByWire)"},

	// Matrices.
	{"relays are ignored on one side", "live.go",
		"s.loose[i] = append(s.loose[i], j)", "if j.by != ByCrosspoint || i == s.room.island[j.a] {\n\t\t\t\ts.loose[i] = append(s.loose[i], j)\n\t\t\t}"},
	{"relays are taken for amplifiers", "room.go",
		"r.contacts[m.Name] = m.Kind == studio.Contacts", "r.contacts[m.Name] = false"},
	{"amplifiers are taken for relays", "room.go",
		"r.contacts[m.Name] = m.Kind == studio.Contacts", "r.contacts[m.Name] = true"},
	{"amplifier carries backwards", "live.go",
		"routes = append(routes, route{in, out})", "routes = append(routes, route{out, in})"},
	{"output that is off does not drive", "state.go",
		"return len(s.behind[output]) > 0 || !s.room.letsGo[s.room.points[output].Owner]", "return len(s.behind[output]) > 0"},
	{"output that lets go drives", "state.go",
		"return len(s.behind[output]) > 0 || !s.room.letsGo[s.room.points[output].Owner]", "return true"},
	{"signal passes one amplifier only", "state.go",
		"heard = append(heard, s.nets[s.netOf(input)].heard...)", "heard = append(heard, s.pick(s.netOf(input), gearOutput)...)"},

	// Contentions and loops.
	{"only gear outputs are in contention", "state.go",
		"if s.drives(output) {\n\t\t\t\tcount++\n\t\t\t}", "_ = output"},
	{"contention leaves out amplifiers", "answer.go",
		"if s.drives(output) {", "if s.drives(output) && len(drivers) == 0 {"},
	{"net that feeds itself is no loop", "loop.go",
		"if len(set) > 1 || slices.ContainsFunc(t.out[net], selfFed) {", "if _ = selfFed; len(set) > 1 {"},
	{"loop through an amplifier is overlooked", "loop.go",
		"for _, in := range inputs {\n\t\t\tadd(in, out)", "for _, in := range inputs[:0] {\n\t\t\tadd(in, out)"},
	{"loop through what the software carries is overlooked", "loop.go",
		"for _, p := range s.room.numbered(inside) {", "for _, p := range s.room.numbered(inside)[:0] {"},

	// Changes.
	{"pulled plug does not close its normal", "live.go",
		"if !ok || s.plugged[n]+by < 0 {", "if !ok || by < 0 {"},
	{"change does not reach what is downstream", "state.go",
		"stale := s.leadingFrom(nets, marks.seen)", "stale := slices.Clone(nets)"},
	{"cord told from its other end stays in", "live.go",
		"k.a == j.a && k.b == j.b || k.a == j.b && k.b == j.a", "k.a == j.a && k.b == j.b"},
	{"pulled cord stays at one end", "live.go",
		"s.loose[i] = without(s.loose[i], func(k joint) bool {", "s.loose[s.room.island[j.a]] = without(s.loose[s.room.island[j.a]], func(k joint) bool {"},
	{"contention that was ended is still counted", "live.go",
		"l.contended--", "_ = l.contended"},
	{"opened crosspoint of an amplifier stays", "live.go",
		"s.behind[r.out] = without(s.behind[r.out], func(in int) bool { return in == r.in })", "_ = r.in"},
	{"broken normal is not looked at again", "live.go",
		"touched = append(touched, s.room.island[p.a], s.room.island[p.b])", "touched = append(touched, s.room.island[n])\n\t\t\t_ = p"},

	// Sessions.
	{"guest is left out", "session.go",
		"to.Gear = withGuests(to.Gear, s.Guests)", "_ = withGuests"},
	{"switch that the session turns stays", "session.go",
		"to.Gear = WithSelections(to.Gear, s.Selections)", "_ = WithSelections"},

	// Ways.
	{"origins overlook what the software carries", "loop.go",
		"for _, f := range s.flows(inside, nil) {", "for _, f := range s.flows(nil, nil) {"},
	{"source goes on through inputs that are taken over", "change.go",
		"return s.names(slices.DeleteFunc(inputs, s.stolen))", "return s.names(inputs)"},
	{"way goes backwards through an amplifier", "way.go",
		"edges[in] = append(edges[in], edge{out, ByCrosspoint})", "edges[out] = append(edges[out], edge{in, ByCrosspoint})"},
	{"way goes through a broken normal", "way.go",
		"if s.holds(p) {", "if s.holds(p) || p.by == ByNormal {"},
	{"plug that breaks a way is not named", "break.go",
		"add(p.breaksB, p.b)", "_ = p.b"},
	{"plug that breaks no way is named", "break.go",
		"add(p.breaksA, p.a)", "add(true, p.a)"},
	{"normal that closes behind a cord is forgotten", "break.go",
		"found[i].Leaves = slices.Contains(after.Hears(w.To), w.From)", "found[i].Leaves = false && after != nil"},
}
