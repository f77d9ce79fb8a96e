package bench

import (
	"errors"
	"fmt"
	"slices"

	"bayhand/model/hand"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// Plug puts a cord between two jacks of bays, or a lead between a port that is
// wired to nothing and a jack or a socket.
func (s Setup) Plug(of *studio.Studio, a, b name.Point) (Setup, error) {
	return s.after(s.bay(of).Plug(a, b))
}

// Dummy puts a plug into a jack that only breaks its normal.
func (s Setup) Dummy(of *studio.Studio, at name.Point) (Setup, error) {
	return s.after(s.bay(of).Plug(at, name.Point{}))
}

// Pull takes out what is in a jack, with both its ends.
func (s Setup) Pull(of *studio.Studio, at name.Point) (Setup, error) {
	return s.after(s.bay(of).Pull(at))
}

// Move takes the plug that is in one jack and puts it into another.
func (s Setup) Move(of *studio.Studio, from, to name.Point) (Setup, error) {
	return s.after(s.bay(of).Move(from, to))
}

func (s Setup) bay(of *studio.Studio) hand.Bay { return hand.Bay{Studio: of, Patch: s.Patch} }

// after is the setup after moves by hand. A cord keeps its number while it is in.
func (s Setup) after(moves []plan.Move, err error) (Setup, error) {
	if err != nil {
		return s, err
	}
	made := s.clone()
	for _, m := range moves {
		at := -1
		if m.Do == plan.Pull {
			at = made.cordIn(m.Ends[0])
		}
		made.Patch = hand.Apply(made.Patch, m)
		switch {
		case at >= 0:
			made.Marks = slices.Delete(made.Marks, at, at+1)
		case m.Do == plan.Plug:
			made.mark()
		}
	}
	return made.done()
}

// cordIn is the place of the cord in a jack; -1 for none.
func (s Setup) cordIn(at name.Point) int {
	return slices.IndexFunc(s.Patch.Cords, func(c patch.Cord) bool { return slices.Contains(c.Ends(), at) })
}

// Turn gives a pair a mode.
func (s Setup) Turn(of *studio.Studio, jack name.Point, to studio.Mode) (Setup, error) {
	bay := of.BayNamed(jack.Owner)
	if bay == nil || jack.Number < 1 || jack.Number > bay.Pairs() {
		return s, fmt.Errorf("%s is no jack of a bay", jack)
	}
	if to == studio.ModeUnknown {
		return s, errors.New("a mode is normal, half-normal, half-normal-top, isolated or parallel")
	}
	made := s.clone()
	made.Modes = slices.DeleteFunc(made.Modes, func(m Mode) bool { return m.Bay == jack.Owner && m.Number == jack.Number })
	if bay.Modes[jack.Number-1] != to {
		made.Modes = append(made.Modes, Mode{jack.Owner, jack.Number, to})
	}
	return made.done()
}

// Cross closes a crosspoint that is open, and opens one that is closed. An output
// of amplifiers listens to one input at a time; one of contacts to as many as are
// closed.
func (s Setup) Cross(of *studio.Studio, output, input name.Point) (Setup, error) {
	point := patch.Crosspoint{Output: output, Input: input}
	matrix := of.MatrixNamed(output.Owner)
	if matrix == nil || input.Owner != output.Owner || !has(*matrix, point) {
		return s, fmt.Errorf("there is no crosspoint of %s and %s", output, input)
	}
	made := s.clone()
	had := slices.Contains(made.Patch.Crosspoints, point)
	made.Patch.Crosspoints = slices.DeleteFunc(made.Patch.Crosspoints, func(c patch.Crosspoint) bool {
		return c == point || c.Output == output && matrix.Kind != studio.Contacts
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

// HangsFree says whether a point is a port of gear that is wired to nothing.
func HangsFree(of *studio.Studio, at name.Point) bool {
	return hand.IsPort(of, at) && !hand.Wired(of, at)
}

func has(m studio.Matrix, c patch.Crosspoint) bool {
	return c.Output == m.Out(c.Output.Number) && c.Input == m.In(c.Input.Number) &&
		c.Output.Number >= 1 && c.Output.Number <= m.Outputs && c.Input.Number >= 1 && c.Input.Number <= m.Inputs &&
		!slices.ContainsFunc(m.Missing, func(x studio.Absent) bool { return x.Output == c.Output && x.Input == c.Input })
}
