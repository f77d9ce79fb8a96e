// Package capture writes a patch down as a session: what is heard where because
// of the cords, leads, dummies and crosspoints that are in, as a person would
// have asked for it.
//
// Vocabulary: the bare room is the room with nothing plugged and every
// crosspoint open; what is heard there comes by normals alone, and needs no
// asking. The rest patch is the room between sessions.
//
// The package reads what is heard and judges nothing: two outputs that are
// joined are noted for the person, not mended. It plans nothing, and knows
// neither files nor clocks.
package capture

import (
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
)

// Session is the session that a patch gives, in the shortest form. A gear input
// is asked for when it hears exactly one gear output, and does not hear the same
// in the bare room as at rest; it is silent when it hears something at rest and
// nothing now. Wants that follow each other through gear stand in one chain. The
// patch is kept with the session, so that a recall looks as it does now. What
// no session can ask for is said in the notes.
func Session(room *heard.Room, p patch.Patch, title string) *session.Session {
	kept := p.Clone()
	kept.Sort()
	l := listen(room, kept)
	wants, silent := l.asked()
	return &session.Session{
		Name:    title,
		Title:   title,
		Program: -1,
		Wants:   chains(room.Studio(), wants),
		Silent:  silent,
		Notes:   l.notes(),
		Patch:   &kept,
	}
}

// listening is the room in the three states that a captured session depends on.
type listening struct {
	inputs          []name.Point
	now, bare, rest *heard.State
}

func listen(room *heard.Room, p patch.Patch) listening {
	s := room.Studio()
	return listening{
		inputs: inputs(s),
		now:    room.Hear(p),
		bare:   room.Hear(patch.Patch{}),
		rest:   room.Hear(s.Rest),
	}
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

// doubtful are the inputs that joined outputs reach: what they hear is not
// defined.
func (l listening) doubtful() map[name.Point]bool {
	inputs := map[name.Point]bool{}
	for _, c := range l.now.Contentions() {
		for _, in := range l.now.Reaches(c.Drivers[0]) {
			inputs[in] = true
		}
	}
	return inputs
}

// mustBeAsked is false for what the normals give and the rest patch leaves as
// it is: any recall brings that back by itself. What a cord or crosspoint of the
// rest patch gives is asked for, since a recall takes out what nobody asks for.
func (l listening) mustBeAsked(in, source name.Point) bool {
	only := []name.Point{source}
	return !slices.Equal(l.bare.Hears(in), only) || !slices.Contains(l.rest.Hears(in), source)
}

// notes says what the patch does that a session cannot ask for.
func (l listening) notes() string {
	var lines []string
	for _, c := range l.now.Contentions() {
		lines = append(lines, "captured while outputs were joined: "+list(c.Drivers)+"; what is heard there was left out")
	}
	return strings.Join(lines, "\n")
}

func list(points []name.Point) string {
	var texts []string
	for _, p := range points {
		texts = append(texts, p.String())
	}
	return strings.Join(texts, ", ")
}
