package page

import (
	"context"
	"slices"
	"strconv"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/page/bench"
	"bayhand/recall/words"
)

// touched is a point that somebody follows: what it hears and reaches, by which
// ways, and what can be said of it.
type touched struct {
	Name, Words string
	// Facts are what is behind it, in it and known of it.
	Facts []string
	// Hears and Reaches are nil where the point does neither by its nature.
	Hears, Reaches, Origins []spot
	Source, Destination     bool
	// Onward comes after what is reached, through gear.
	Onward []spot
	// Joined are two outputs or more that meet here.
	Joined string
	Ways   []wayShown
	// Close is the address without it.
	Close string
	// IsJack is true for a jack of a bay, a socket of a box and a port that is wired
	// to nothing, where a plug can be; Plug is what is in it.
	IsJack bool
	Plug   string
	// Numbering is the number on the cord that is in it; nil where it has none.
	Numbering *numbering
	// Both is true where the plug's cord is plugged at both its ends.
	Faulty bool
	// Fixed is a fault that the studio's file has, and no tag.
	Fixed bool
	// PlugFrom and MoveFrom are addresses to say what was done here.
	PlugFrom, MoveFrom string
	// IfFrom is the one to ask what a cord from here would do.
	IfFrom string
	// IfOut is the one to ask what it would do if the plug in it were out; empty where
	// nothing is in it.
	IfOut string
	lit   map[name.Point]bool
	// owner is the part that it is of.
	owner string
}

// wayShown is one way of a signal in words, with what would break it.
type wayShown struct{ Text, Broken string }

// present is the room as it is held now, in the session that it is in.
type present struct {
	wanted *session.Session
	patch  patch.Patch
	room   *heard.Room
	state  *heard.State
}

func (p *page) hear(ctx context.Context, s keep.Status) present {
	in := s.Known.Patch()
	now := present{wanted: p.session(ctx, s.Session), patch: in}
	now.room = p.heard.For(now.wanted, in)
	now.state = now.room.Hear(in)
	return now
}

// follower says of a touched point what it hears and reaches, and by which ways.
type follower struct{ page *page }

// broken are the normals that are held open, by their top jacks.
func (h follower) broken(state *heard.State) map[name.Point]bool {
	all := map[name.Point]bool{}
	for _, b := range h.page.Studio.Bays {
		for n, mode := range b.Modes {
			if mode.Joined(false, false) && mode != studio.Parallel && !state.NormalHolds(b.Name, n+1) {
				all[b.TopJack(n+1)] = true
			}
		}
	}
	return all
}

func (h follower) touched(now present, s keep.Status, a asked) *touched {
	at := a.At
	if at.IsZero() {
		return nil
	}
	t := &touched{
		Name: at.String(), Words: h.page.words.Point(at), Close: a.calm().String(),
		IsJack: h.page.takesPlug(at), PlugFrom: a.hand("plug", at).String(), MoveFrom: a.hand("move", at).String(),
		IfFrom: a.hand("if", at).String(),
		lit:    map[name.Point]bool{at: true}, owner: at.Owner,
	}
	if t.IsJack {
		h.inJack(t, s, at)
		if t.Plug != "" {
			t.IfOut = a.out(at).String()
		}
	} else if behind := h.page.words.Behind(at); behind != "" {
		t.Facts = append(t.Facts, behind)
	}
	h.follow(t, now, a)
	return t
}

// session is the one of that name; nil where it cannot be read.
func (p *page) session(ctx context.Context, called string) *session.Session {
	if p.Session == nil || called == "" || called == keep.RestName {
		return nil
	}
	one, err := p.Session(ctx, called)
	if err != nil {
		return nil
	}
	return one.Session
}

// inJack says what is in a jack and how that is known.
func (h follower) inJack(t *touched, s keep.Status, at name.Point) {
	if behind := h.page.words.Behind(at); behind != "" {
		t.Facts = append(t.Facts, words.Put("behind it: {port}", "port", behind))
	}
	if b := h.page.Studio.BayNamed(at.Owner); b != nil && at.Number <= b.Pairs() {
		t.Facts = append(t.Facts, words.Put("its pair is {mode}", "mode", b.Modes[at.Number-1].String()))
	}
	marks := h.page.marks.assign(s)
	for _, c := range h.page.cords(s, marks) {
		if c.From != t.Words && c.To != t.Words {
			continue
		}
		t.Plug = c.Kind
		t.Facts = append(t.Facts, c.says())
	}
	for _, c := range s.Known.Cords {
		if c.A == at || c.B == at {
			t.Numbering = h.page.numbering(c)
		}
	}
	if t.Plug == "" {
		t.Facts = append(t.Facts, "no plug is known to be in it")
	}
	t.Fixed = slices.Contains(h.page.Studio.Faulty, at)
	t.Faulty = t.Fixed || slices.ContainsFunc(s.Tags, func(tag keep.Tag) bool { return tag.Jack == at })
	if t.Faulty {
		t.Facts = append(t.Facts, "tagged faulty; plans avoid it")
	}
}

// says is what is in, in a phrase: "cord A, 30 cm, from ... to ..., reported,
// 2026-03-14 19:04".
func (c cord) says() string {
	called, from := kindCalled(c.Kind), c.From
	if c.Mark != nil {
		called = words.Put("{kind} {letter}", "kind", called, "letter", c.Mark.Letter)
	}
	number := ""
	if c.Number > 0 {
		number = words.Put("number {number}", "number", strconv.Itoa(c.Number))
	}
	if c.To != "" {
		from = words.Put("{jack} to {other}", "jack", c.From, "other", c.To)
	}
	return joinedFacts(called, number, c.Length, from) + "; " + joinedFacts(c.Known, c.Since)
}

// follow finds what the point hears and reaches, and the ways.
func (h follower) follow(t *touched, now present, a asked) {
	state := now.state
	t.Source, t.Destination = ports(now.room.Studio(), a.At)
	var inside []studio.Pass
	if now.wanted != nil {
		inside = now.wanted.Inside
	}
	if !t.Source {
		hears := state.Hears(a.At)
		t.Hears = h.spots(hears, a)
		t.Origins = h.spots(less(state.Origins(a.At, inside), hears), a)
	}
	if t.Destination {
		t.Facts = append(t.Facts, h.arrives(now, a.At)...)
	} else {
		t.Reaches = h.spots(state.Reaches(a.At), a)
	}
	onward := less(state.Onward(a.At, inside), state.Reaches(a.At))
	t.Onward = h.spots(less(onward, []name.Point{a.At}), a)
	for _, way := range state.Ways(a.At) {
		shown := wayShown{Text: h.page.words.Way(way), Broken: "hard-wired: no plug breaks it"}
		if by := h.page.words.Breaks(now.room.Breaks(now.patch, way)); by != "" {
			shown.Broken = words.Put("broken by {what}", "what", by)
		}
		t.Ways = append(t.Ways, shown)
		for _, step := range way.Steps {
			t.lit[step.Point] = true
		}
	}
	for _, c := range state.Contentions() {
		if state.Joined(c.Drivers[0], a.At) {
			t.Joined = h.page.words.Points(c.Drivers)
		}
	}
}

// takesPlug says whether a plug can be in a point: a jack, a socket, or a port that
// hangs free and takes a lead.
func (p *page) takesPlug(at name.Point) bool {
	box := slices.ContainsFunc(p.Studio.Boxes, func(b studio.Box) bool { return b.Name == at.Owner })
	return box || p.isBay(at.Owner) || bench.HangsFree(p.Studio, at)
}

// ports says whether a point is an output or an input of gear.
func ports(s *studio.Studio, at name.Point) (source, destination bool) {
	port, ok := s.PortAt(at)
	return ok && port.Direction == studio.Output, ok && port.Direction == studio.Input
}

func (h follower) spots(points []name.Point, a asked) []spot {
	var all []spot
	for _, at := range points {
		all = append(all, spot{at.String(), h.page.words.Point(at), a.calm().touch(at).String()})
	}
	return all
}

// owner is gear or a box with its points, for those who look for one by name.
type owner struct {
	Label  string
	Points []spot
}

func (h follower) owners(a asked) []owner {
	var all []owner
	for _, g := range h.page.Studio.Gear {
		var points []name.Point
		for _, port := range g.Ports {
			points = append(points, port.Point)
		}
		all = append(all, owner{h.page.words.Owner(g.Name), h.portSpots(points, a)})
	}
	for _, b := range h.page.Studio.Boxes {
		var points []name.Point
		for n := 1; n <= b.Sockets; n++ {
			points = append(points, b.Socket(n))
		}
		all = append(all, owner{h.page.words.Owner(b.Name), h.portSpots(points, a)})
	}
	return all
}

func (h follower) portSpots(points []name.Point, a asked) []spot {
	all := h.spots(points, a)
	for i := range all {
		all[i].Words = h.page.words.Port(points[i])
	}
	return all
}
