package bench

import (
	"errors"
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Plug puts a cord between two jacks of bays, or a lead between a port that is
// wired to nothing and a jack.
func (s Setup) Plug(of *studio.Studio, a, b name.Point) (Setup, error) {
	if a == b {
		return s, fmt.Errorf("a cord has two ends; %s is one jack", a)
	}
	if port, jack, ok := lead(of, a, b); ok {
		if err := s.free(port, jack); err != nil {
			return s, err
		}
		made := s.clone()
		made.Patch.Leads = append(made.Patch.Leads, patch.Lead{Port: port, Jack: jack})
		return made.done()
	}
	for _, at := range []name.Point{a, b} {
		if !isJack(of, at) {
			return s, fmt.Errorf("%s is no jack of a bay or box, nor a port that hangs free; a cord goes from jack to jack", at)
		}
	}
	if err := s.free(a, b); err != nil {
		return s, err
	}
	made := s.clone()
	made.cord(patch.Cord{A: a, B: b})
	return made.done()
}

// Dummy puts a plug into a jack that only breaks its normal.
func (s Setup) Dummy(of *studio.Studio, at name.Point) (Setup, error) {
	if !isJack(of, at) {
		return s, fmt.Errorf("%s is no jack of a bay", at)
	}
	if err := s.free(at); err != nil {
		return s, err
	}
	made := s.clone()
	made.Patch.Dummies = append(made.Patch.Dummies, at)
	return made.done()
}

// Pull takes out what is in a jack, with both its ends.
func (s Setup) Pull(at name.Point) (Setup, error) {
	if s.In(at) == nil {
		return s, fmt.Errorf("there is no plug in %s", at)
	}
	made := s.clone()
	if n := made.cordIn(at); n >= 0 {
		made.Patch.Cords, made.Marks = slices.Delete(made.Patch.Cords, n, n+1), slices.Delete(made.Marks, n, n+1)
	}
	made.Patch.Leads = slices.DeleteFunc(made.Patch.Leads, func(l patch.Lead) bool { return l.Jack == at || l.Port == at })
	made.Patch.Dummies = slices.DeleteFunc(made.Patch.Dummies, func(j name.Point) bool { return j == at })
	return made.done()
}

// cordIn is the place of the cord in a jack; -1 for none.
func (s Setup) cordIn(at name.Point) int {
	return slices.IndexFunc(s.Patch.Cords, func(c patch.Cord) bool { return slices.Contains(c.Ends(), at) })
}

// Move takes the plug that is in one jack and puts it into another.
func (s Setup) Move(of *studio.Studio, from, to name.Point) (Setup, error) {
	ends := s.In(from)
	if ends == nil {
		return s, fmt.Errorf("there is no plug in %s", from)
	}
	if slices.Contains(ends, to) {
		return s, fmt.Errorf("both ends of a cord cannot be in %s", to)
	}
	out, err := s.Pull(from)
	if err != nil {
		return s, err
	}
	dummy := slices.Contains(s.Patch.Dummies, from)
	stays := slices.DeleteFunc(slices.Clone(ends), func(p name.Point) bool { return p == from })
	var made Setup
	switch {
	case dummy:
		made, err = out.Dummy(of, to)
	case len(stays) == 0:
		// The one plug of a cord that hangs loose.
		made, err = out.loose(of, to)
	default:
		made, err = out.Plug(of, stays[0], to)
	}
	if err != nil {
		return s, err
	}
	if n := s.cordIn(from); n >= 0 {
		made.Marks[len(made.Marks)-1] = s.Marks[n]
	}
	return made, nil
}

func (s Setup) loose(of *studio.Studio, at name.Point) (Setup, error) {
	if !isJack(of, at) {
		return s, fmt.Errorf("%s is no jack of a bay", at)
	}
	if err := s.free(at); err != nil {
		return s, err
	}
	made := s.clone()
	made.cord(patch.Cord{A: at})
	return made.done()
}

// Turn gives a pair a mode.
func (s Setup) Turn(of *studio.Studio, jack name.Point, to studio.Mode) (Setup, error) {
	at := slices.IndexFunc(of.Bays, func(b studio.Bay) bool { return b.Name == jack.Owner })
	if at < 0 || jack.Number < 1 || jack.Number > of.Bays[at].Pairs() {
		return s, fmt.Errorf("%s is no jack of a bay", jack)
	}
	if to == studio.ModeUnknown {
		return s, errors.New("a mode is normal, half-normal, half-normal-top, isolated or parallel")
	}
	made := s.clone()
	made.Modes = slices.DeleteFunc(made.Modes, func(m Mode) bool { return m.Bay == jack.Owner && m.Number == jack.Number })
	if of.Bays[at].Modes[jack.Number-1] != to {
		made.Modes = append(made.Modes, Mode{jack.Owner, jack.Number, to})
	}
	return made.done()
}

// Cross closes a crosspoint that is open, and opens one that is closed. An output
// of amplifiers listens to one input at a time; one of contacts to as many as are
// closed.
func (s Setup) Cross(of *studio.Studio, output, input name.Point) (Setup, error) {
	point := patch.Crosspoint{Output: output, Input: input}
	at := slices.IndexFunc(of.Matrices, func(m studio.Matrix) bool { return m.Name == output.Owner && m.Name == input.Owner })
	if at < 0 || !has(of.Matrices[at], point) {
		return s, fmt.Errorf("there is no crosspoint of %s and %s", output, input)
	}
	made := s.clone()
	had := slices.Contains(made.Patch.Crosspoints, point)
	made.Patch.Crosspoints = slices.DeleteFunc(made.Patch.Crosspoints, func(c patch.Crosspoint) bool {
		return c == point || c.Output == output && of.Matrices[at].Kind != studio.Contacts
	})
	if !had {
		made.Patch.Crosspoints = append(made.Patch.Crosspoints, point)
	}
	return made.done()
}

func (s Setup) done() (Setup, error) {
	s.sort()
	return s, s.small()
}

// free refuses jacks and ports that hold a plug.
func (s Setup) free(points ...name.Point) error {
	for _, at := range points {
		if s.In(at) != nil {
			return fmt.Errorf("%s holds a plug already; a jack takes one", at)
		}
	}
	return nil
}

// isJack says whether a cord's plug goes into a point: a jack of a bay or a socket
// of a box.
func isJack(of *studio.Studio, at name.Point) bool {
	socket := slices.ContainsFunc(of.Boxes, func(b studio.Box) bool {
		return b.Name == at.Owner && at.Number >= 1 && at.Number <= b.Sockets && at == b.Socket(at.Number)
	})
	return socket || slices.ContainsFunc(of.Bays, func(b studio.Bay) bool {
		return b.Name == at.Owner && at.Number >= 1 && at.Number <= b.Pairs() && (at == b.TopJack(at.Number) || at == b.BottomJack(at.Number))
	})
}

// lead finds the port and the jack of a lead, whichever was named first.
func lead(of *studio.Studio, a, b name.Point) (port, jack name.Point, ok bool) {
	if isJack(of, a) {
		a, b = b, a
	}
	return a, b, isJack(of, b) && HangsFree(of, a)
}

// HangsFree says whether a point is a port of gear that is wired to nothing.
func HangsFree(of *studio.Studio, at name.Point) bool {
	port := slices.ContainsFunc(of.Gear, func(g studio.Gear) bool {
		return slices.ContainsFunc(g.Ports, func(p studio.Port) bool { return p.Point == at })
	})
	return port && !slices.ContainsFunc(of.Wires, func(w studio.Wire) bool { return w.From == at || w.To == at })
}

func has(m studio.Matrix, c patch.Crosspoint) bool {
	return c.Output == m.Out(c.Output.Number) && c.Input == m.In(c.Input.Number) &&
		c.Output.Number >= 1 && c.Output.Number <= m.Outputs && c.Input.Number >= 1 && c.Input.Number <= m.Inputs &&
		!slices.ContainsFunc(m.Missing, func(x studio.Absent) bool { return x.Output == c.Output && x.Input == c.Input })
}
