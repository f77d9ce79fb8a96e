package arrange

import (
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Answer is a proposal with everything that is claimed of it.
type Answer struct {
	Sessions []SessionPlugs `json:"sessions"`
	Plugs    Plugs          `json:"plugs"`
	Lines    Lines          `json:"lines"`
	Reach    Reach          `json:"reach"`
	Columns  []Column       `json:"columns"`
	Moves    []Move         `json:"moves"`
	Curve    []Point        `json:"curve"`
	Cords    []Cords        `json:"cords"`
	Dummies  int            `json:"dummies"`
	Blanks   Blanks         `json:"blanks"`
	Mults    Mults          `json:"mults"`
	Rules    []Saving       `json:"rules"`
	Unplaced []Unplaced     `json:"unplaced"`
	// Straight are cables that come to no bay.
	Straight []Straight `json:"straight"`
	// Findings are what check says of the proposal and not of the room as it is.
	Findings text.Problems `json:"findings"`
	// Layout is what can be applied.
	Layout *Layout `json:"-"`
}

// SessionPlugs are the plugs of one session from rest: now, where the room is
// wired and the session can be given, and as proposed; -1 where it cannot be
// given. Least is a proved bound for the proposal.
type SessionPlugs struct {
	Session  string `json:"session"`
	Weight   int    `json:"weight"`
	Now      int    `json:"now"`
	Proposed int    `json:"proposed"`
	Least    int    `json:"least"`
}

// Plugs are those of all sessions, each times its weight. Least is a proved bound on
// those of any layout, 0 where none is known. Exact says that the sum over columns is
// equal to the planner's plugs. LeftOut is the sum with each session planned on a layout
// that was made from the other sessions alone, so that its gain is not a fit to that
// session (cross-validation); -1 where there are too few sessions.
type Plugs struct {
	Now      int     `json:"now"`
	Proposed int     `json:"proposed"`
	Least    float64 `json:"least"`
	Exact    bool    `json:"exact"`
	LeftOut  int     `json:"left-out"`
}

// Lines are those of wiring.
type Lines struct {
	Now      int `json:"now"`
	Proposed int `json:"proposed"`
	Least    int `json:"least"`
}

// Reach is how far all cords of all sessions span, by their weights.
type Reach struct {
	Now      measure.Length `json:"now"`
	Proposed measure.Length `json:"proposed"`
}

// reach is how far the cords of plans span.
func reach(s *studio.Studio, sessions []Weighted, plans []*plan.Plan) measure.Length {
	sum := measure.Length(0)
	for n, p := range plans {
		for _, c := range p.Target.Cords {
			if way, ok := layout.Distance(s, c.A, c.B); ok {
				sum += way * measure.Length(max(1, sessions[n].Weight))
			}
		}
	}
	return sum
}

// NotPossible are how many sessions are not possible now, and as proposed. They are in
// none of the sums of plugs.
func (a *Answer) NotPossible() (now, proposed int) {
	for _, s := range a.Sessions {
		if s.Now == notGiven {
			now++
		}
		if s.Proposed == notGiven {
			proposed++
		}
	}
	return now, proposed
}

// notGiven are the plugs of a session that cannot be given.
const notGiven = -1

// answer says what is claimed of a layout.
func (l *Layout) answer(q Request, now, made []*plan.Plan) *Answer {
	a := &Answer{
		Layout: l, Columns: l.Columns(), Moves: l.Moves(), Sessions: []SessionPlugs{},
		Lines: Lines{Proposed: l.columns.lines(), Least: l.columns.room.leastLines(), Now: linesNow(l.columns.room)},
		Plugs: Plugs{Least: l.provedLeast(), Exact: true},
		Reach: Reach{reach(q.Studio, q.Sessions, now), reach(l.Apply(), q.Sessions, made)},
	}
	a.Unplaced, a.Straight, a.Mults, a.Blanks = l.unplaced(), l.Straight(), l.mults, l.blanks()
	a.Cords, a.Dummies = toOwn(l.Apply(), made)
	for n, s := range q.Sessions {
		one := SessionPlugs{Session: s.Session.Name, Weight: max(1, s.Weight), Now: plugsOf(now[n]), Proposed: plugsOf(made[n]), Least: made[n].Least}
		a.Sessions = append(a.Sessions, one)
		a.Plugs.Exact = a.Plugs.Exact && one.Proposed != notGiven
		a.Plugs.Proposed += one.Weight * max(0, one.Proposed)
		a.Plugs.Now += one.Weight * max(0, one.Now)
	}
	a.Plugs.Exact = a.Plugs.Exact && int64(a.Plugs.Proposed) == l.columns.plugs()
	return a
}

// provedLeast is the bound of the sum over columns where that is one on the plugs
// themselves: elsewhere matrices, ties and strapped normals carry signals without
// a cord, and 0 is all that is proved.
func (l *Layout) provedLeast() float64 {
	s := l.columns.room.studio
	if len(s.Matrices)+len(s.Ties)+len(s.Normals)+len(s.Mults) > 0 {
		return 0
	}
	return float64(l.least) / 2
}

func plugsOf(p *plan.Plan) int {
	if !p.Given {
		return notGiven
	}
	return p.Plugs
}

// linesNow are the lines of wiring that the room has, of what is arranged.
func linesNow(r *room) int {
	now := newColumns(r, nil)
	outputs, inputs := map[name.Point]int{}, map[name.Point]int{}
	for n, p := range r.outputs {
		outputs[p.jack] = n
	}
	for n, p := range r.inputs {
		inputs[p.jack] = n
	}
	of := func(all map[name.Point]int, p name.Point) int {
		if n, has := all[p]; has {
			return n
		}
		return none
	}
	for n, s := range r.slots {
		bay := r.studio.Bays[s.bay]
		now.put(n, pairing{of(outputs, bay.TopJack(s.number)), of(inputs, bay.BottomJack(s.number))})
	}
	return now.lines()
}
