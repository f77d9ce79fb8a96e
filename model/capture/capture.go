// Package capture writes a patch down as a session: what is heard where because
// of the cords, leads, dummies and crosspoints that are in, as a person would
// have asked for it.
//
// Vocabulary: the bare room is the room with nothing plugged and every
// crosspoint open; what is heard there comes by normals alone, and needs no
// asking. The rest patch is the room between sessions.
//
// The package reads what is heard and judges nothing: two outputs that are
// joined are noted for the person, and what joins them is left out, and so is what
// closes a loop that is not allowed. It plans nothing, and knows neither files nor clocks.
package capture

import (
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Session is the session that a patch gives, in the shortest form. A gear input that
// hears exactly one gear output becomes a want, unless normals alone and the rest patch
// give it the same. An input that hears something at rest and nothing now becomes silent.
// Wants that follow each other through gear stand in one chain. A switch of gear is set
// to the choice whose outputs are heard. The session keeps the patch, so that a recall
// gives the same cords, without those that join outputs or close a loop. What no session
// can ask for, and what was left out, is said in the notes.
func Session(room *heard.Room, p patch.Patch, title string) *session.Session {
	return Within(room, &session.Session{}, p, title)
}

// Within is Session in a room that is in a session. What a patch does not say is taken
// from that session: guests whose leads are in, switches, loudspeakers that are muted at
// their own, what the software carries, and the loops that are meant. Gear that only a lead names becomes a guest.
func Within(room *heard.Room, in *session.Session, p patch.Patch, title string) *session.Session {
	kept := p.Clone()
	kept.Sort()
	described := len(room.Studio().Gear)
	room = room.For(in, kept)
	l := listen(room, in, kept)
	kept = l.patch
	wants, silent := l.asked()
	turned := selections(room.Studio(), wants)
	wants, unselected := divide(wants, outOfUse(room.Studio(), turned))
	guests := plugged(room.Studio().Gear[described:], p)
	stays := func(p name.Point) bool { return has(room.Studio().Gear[:described], p) || has(guests, p) }
	s := &session.Session{
		Name:       title,
		Title:      title,
		Program:    -1,
		Guests:     guests,
		Selections: slices.DeleteFunc(turnedFrom(room.Studio(), in.Selections, turned), func(c session.Selection) bool { return !stays(name.Point{Owner: c.Gear}) }),
		Wants:      chains(room.Studio(), wants),
		Silent:     silent,
		Cut:        slices.DeleteFunc(slices.Clone(in.Cut), func(gear string) bool { return !stays(name.Point{Owner: gear}) }),
		Loops:      slices.DeleteFunc(slices.Clone(in.Loops), func(p name.Point) bool { return !stays(p) }),
		Inside:     slices.DeleteFunc(slices.Clone(in.Inside), func(p studio.Pass) bool { return !stays(p.In) || !stays(p.Out) }),
		Patch:      &kept,
	}
	s.Notes = l.notes(room.For(s), s, unselected)
	return s
}

func has(gear []studio.Gear, p name.Point) bool {
	return slices.ContainsFunc(gear, func(g studio.Gear) bool { return g.Name == p.Owner })
}

// plugged are the pieces of gear whose leads are in, or into which others are.
func plugged(gear []studio.Gear, p patch.Patch) []studio.Gear {
	var in []studio.Gear
	for _, g := range gear {
		if slices.ContainsFunc(p.Leads, func(l patch.Lead) bool { return l.Port.Owner == g.Name || l.Jack.Owner == g.Name }) {
			in = append(in, g)
		}
	}
	return in
}

// listening is the room in the three states that a captured session depends on.
type listening struct {
	// patch is without what joins outputs or closes loops; joins and loops are these, and
	// joined is the room with what joins.
	patch  patch.Patch
	joins  []Join
	loops  []Loop
	joined *heard.State
	// apart are crosspoints without those that are switched together with them; patch is
	// without these too.
	apart           []patch.Crosspoint
	inputs          []name.Point
	now, bare, rest *heard.State
	// plugs is the room with a dummy in every jack: no normal holds.
	plugs *heard.State
	// normals is the room with the plugs that are in, and nothing behind them: what
	// is heard there the normals still carry.
	normals *heard.State
}

func listen(room *heard.Room, in *session.Session, p patch.Patch) listening {
	s := room.Studio()
	l := listening{apart: room.Parted(p), inputs: s.Ends(studio.Input), bare: room.Hear(patch.Patch{}), rest: room.Hear(s.Rest)}
	l.plugs = room.Hear(patch.Patch{Dummies: jacks(s)})
	p = without(p, patch.Patch{Crosspoints: l.apart})
	l.joined = room.Hear(p)
	l.patch, l.joins = unjoin(room, p)
	for more := true; more; {
		l.now, l.normals = room.Hear(l.patch), room.Hear(patch.Patch{Dummies: l.patch.Plugs()})
		more = l.open(room, in)
	}
	return l
}

// open leaves out what closes loops in the room with its switches as they must stand, and
// says whether that is anything.
func (l *listening) open(room *heard.Room, in *session.Session) bool {
	wants, _ := l.asked()
	turned := turnedFrom(room.Studio(), in.Selections, selections(room.Studio(), wants))
	left, loops := unloop(room.For(&session.Session{Selections: turned}), in, l.patch)
	loops = slices.DeleteFunc(loops, func(o Loop) bool { return empty(o.By) })
	l.patch, l.loops = left, append(l.loops, loops...)
	return len(loops) > 0
}

// asked divides the gear inputs whose state must be asked for, in the order of
// the studio.
func (l listening) asked() (wants []want, silent []name.Point) {
	doubtful := l.doubtful()
	for _, in := range l.inputs {
		if doubtful[in] {
			continue
		}
		switch heard := l.now.Hears(in); len(heard) {
		case 0:
			if len(l.rest.Hears(in)) > 0 {
				silent = append(silent, in)
			}
		case 1:
			if l.mustBeAsked(in, heard[0]) {
				wants = append(wants, want{heard[0], in})
			}
		}
	}
	return wants, silent
}

func jacks(s *studio.Studio) []name.Point {
	var all []name.Point
	for _, bay := range s.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			all = append(all, bay.TopJack(n), bay.BottomJack(n))
		}
	}
	return all
}

// doubtful are the inputs that joined outputs reach, where it is not plain what joins
// them: what they hear is not defined.
func (l listening) doubtful() map[name.Point]bool {
	inputs := map[name.Point]bool{}
	for _, j := range l.joins {
		if j.Sure {
			continue
		}
		for _, in := range l.joined.Reaches(j.Outputs[0]) {
			inputs[in] = true
		}
	}
	return inputs
}

// mustBeAsked is false for what normals alone give, now, in the bare room and at rest:
// any recall gives that without being asked. What a cord or crosspoint of the rest patch
// gives must be asked for, since a recall takes out what nobody asks for.
func (l listening) mustBeAsked(in, source name.Point) bool {
	only := []name.Point{source}
	return !slices.Equal(l.normals.Hears(in), only) || !slices.Equal(l.bare.Hears(in), only) || !slices.Contains(l.rest.Hears(in), source)
}

// Normals is what is heard in a patch and not asked for in its capture, since
// the normals carry it by themselves.
func Normals(room *heard.Room, in *session.Session, p patch.Patch) []session.Want {
	room = room.For(in, p)
	l := listen(room, in, p)
	doubtful := l.doubtful()
	var carried []want
	for _, in := range l.inputs {
		if heard := l.now.Hears(in); len(heard) == 1 && !doubtful[in] && !l.mustBeAsked(in, heard[0]) && l.normalled(in) {
			carried = append(carried, want{heard[0], in})
		}
	}
	return chains(room.Studio(), carried)
}

// normalled says whether an input hears by normals alone: with a plug in every jack it
// hears nothing.
func (l listening) normalled(in name.Point) bool { return len(l.plugs.Hears(in)) == 0 }

// notes says what the patch does that a session cannot ask for, in the room with
// its switches where the session has them.
func (l listening) notes(room *heard.Room, s *session.Session, unselected []want) string {
	var lines []string
	if len(l.apart) > 0 {
		lines = append(lines, phrase.Put("captured while outputs that are switched together were apart; what they were routed to was left out: {items}", "items", Items(patch.Patch{Crosspoints: l.apart})))
	}
	for _, j := range l.joins {
		lines = append(lines, j.String())
	}
	for _, w := range unselected {
		lines = append(lines, phrase.Put("captured while {destination} was patched to {source}, which is not selected; that was left out", "destination", w.destination.String(), "source", w.source.String()))
	}
	for _, out := range twice(l.patch) {
		lines = append(lines, phrase.Put("captured while {inputs} were routed to {output}; a recall routes one", "output", out.String(), "inputs", list(l.patch.Inputs(out))))
	}
	for _, o := range l.loops {
		lines = append(lines, o.String())
	}
	for _, o := range room.Hear(l.patch).Loops(s.Inside, s.Loops) {
		lines = append(lines, Loop{Through: o.Through}.String())
	}
	return strings.Join(lines, "\n")
}

// twice are the matrix outputs that listen to more than one input.
func twice(p patch.Patch) []name.Point {
	var outs []name.Point
	for i, c := range p.Crosspoints {
		if i > 0 && p.Crosspoints[i-1].Output == c.Output && !slices.Contains(outs, c.Output) {
			outs = append(outs, c.Output)
		}
	}
	return outs
}

func list(points []name.Point) string {
	var texts []string
	for _, p := range points {
		texts = append(texts, p.String())
	}
	return strings.Join(texts, ", ")
}
