// Package hand has the rules of what a person's hand does at a bay: what a plug may
// go into, and what plugging, pulling and moving change. The keeper, the practice
// bench and the question what a plug would do all ask here.
//
// A jack is one of a bay: a cord, a dummy or a lead goes in. A socket is one of a box
// on a floor or a wall: it takes a lead from gear and nothing else, since its other
// side is wired to a jack of a bay, where cords and dummies belong. A port is an
// output or input of gear; a lead goes into one that is not wired at the rear. Each of
// them takes one plug.
//
// Nothing is changed here: an act is answered with the moves that it is, and Apply
// makes the patch after them.
package hand

import (
	"errors"
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Why an act cannot be.
var (
	// ErrNowhere is about a place that there is not, or that takes no plug.
	ErrNowhere = errors.New("no such jack")
	// ErrNever is about what cannot be done with what is there, in any patch.
	ErrNever = errors.New("this cannot be plugged")
	// ErrTaken is about a place that holds a plug already, or holds none.
	ErrTaken = errors.New("this does not fit what is plugged")
	// ErrFull is the ErrTaken of a place that has a plug already.
	ErrFull = fmt.Errorf("%w: there is a plug already", ErrTaken)
)

// refusal is an error with a message of its own that is one of those above.
type refusal struct {
	message string
	is      error
}

func (r *refusal) Error() string { return r.message }
func (r *refusal) Unwrap() error { return r.is }

func refuse(is error, format string, args ...any) error {
	return &refusal{fmt.Sprintf(format, args...), is}
}

// Bay is what a hand meets: a studio, the gear that came for a session, and the
// patch that is in.
type Bay struct {
	Studio *studio.Studio
	Guests []studio.Gear
	Patch  patch.Patch
}

// IsSocket says whether a place is a socket of a box.
func IsSocket(s *studio.Studio, p name.Point) bool {
	return slices.ContainsFunc(s.Boxes, func(b studio.Box) bool {
		return b.Name == p.Owner && p.Number >= 1 && p.Number <= b.Sockets && p == b.Socket(p.Number)
	})
}

// TakesPlug says whether a place is a jack or a socket.
func TakesPlug(s *studio.Studio, p name.Point) bool { return s.IsJack(p) || IsSocket(s, p) }

// looseInput says whether a place is an input of gear that stands loose and is not
// wired: leads of other gear go in.
func (b Bay) looseInput(p name.Point) bool {
	loose := func(g studio.Gear) bool {
		return g.Loose && g.Name == p.Owner && slices.ContainsFunc(g.Ports, func(q studio.Port) bool { return q.Point == p && q.Direction == studio.Input })
	}
	return !Wired(b.Studio, p) && (slices.ContainsFunc(b.Studio.Gear, loose) || slices.ContainsFunc(b.Guests, loose))
}

// IsPort says whether a place is a port of gear of the studio.
func IsPort(s *studio.Studio, p name.Point) bool {
	_, ok := s.PortAt(p)
	return ok
}

// Wired says whether a port of gear is wired at the rear.
func Wired(s *studio.Studio, p name.Point) bool {
	return slices.ContainsFunc(s.Wires, func(w studio.Wire) bool { return w.From == p || w.To == p })
}

// Port says whether gear in the room has the port: the studio's, that of a guest, or
// that of a guest who has left and whose lead is still in.
func (b Bay) Port(p name.Point) bool {
	stays := slices.ContainsFunc(b.Patch.Leads, func(l patch.Lead) bool { return l.Port == p })
	return stays || IsPort(b.Studio, p) || IsPort(&studio.Studio{Gear: b.Guests}, p)
}

// Holds says in words what has a plug in a place; empty if nothing has.
func Holds(in patch.Patch, at name.Point) string {
	for _, c := range in.Cords {
		switch {
		case c.B.IsZero() && c.A == at:
			return fmt.Sprintf("a cord with a loose end from %s", c.A)
		case c.A == at || c.B == at:
			return fmt.Sprintf("the cord %s - %s", c.A, c.B)
		}
	}
	for _, l := range in.Leads {
		if l.Jack == at || l.Port == at {
			return fmt.Sprintf("the gear cable %s - %s", l.Port, l.Jack)
		}
	}
	if slices.Contains(in.Dummies, at) {
		return "a dummy"
	}
	return ""
}

// free refuses places that hold a plug.
func (b Bay) free(places ...name.Point) error { return free(b.Patch, places...) }

func free(in patch.Patch, places ...name.Point) error {
	for _, p := range places {
		if has := Holds(in, p); has != "" {
			return refuse(ErrFull, "%s already has %s", p, has)
		}
	}
	return nil
}

// cordFits refuses a place where no plug of a cord and no dummy goes in.
func (b Bay) cordFits(p name.Point) error {
	switch {
	case b.Studio.IsJack(p):
		return nil
	case IsSocket(b.Studio, p):
		return refuse(ErrNever, "%s is a socket of a box; a gear cable goes in, no cord and no dummy", p)
	case b.Port(p):
		return refuse(ErrNever, "%s is a port of gear, and no jack; a gear cable goes in, with its other end in a jack or a socket", p)
	}
	return refuse(ErrNowhere, "%s is no jack of this studio", p)
}

// leadFits refuses a port and a place between which no lead goes.
func (b Bay) leadFits(port, at name.Point) error {
	switch {
	case Wired(b.Studio, port):
		return refuse(ErrNever, "%s is wired at the rear, so no gear cable goes in; name the jack that it is wired to", port)
	case b.looseInput(at) && !b.looseInput(port):
		return nil
	case b.Port(at):
		return refuse(ErrNever, "%s and %s are both ports of gear; a gear cable has one end in a jack, a socket or gear that stands loose", port, at)
	case !TakesPlug(b.Studio, at):
		return refuse(ErrNowhere, "%s is no jack of this studio", at)
	}
	return nil
}
