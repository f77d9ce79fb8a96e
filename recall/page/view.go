package page

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// view is everything that the view of the bays shows, in words.
type view struct {
	frame
	Problems []problem
	// Planning says which plans are being made, and since when.
	Planning []problem
	// Grave is true where a problem is more than advice.
	Grave    bool
	Missing  []plan.Missing
	Loses    []string
	Cautions []string

	Next *move
	// Close are the jacks of the next move from near by.
	Close []bay
	// ByItself is what a matrix is doing while nobody has anything to do.
	ByItself string
	Left     []move
	Done     []move
	// Undo is the newest step that a person can take back.
	Undo *move
	// Skip, Unskip and Else are addresses; Skipped counts the steps put off.
	Skip, Unskip, Else string
	Skipped            int

	Touched  *touched
	Entering *entering
	Bays     []bay
	// Racks is the map of the bays of a large room.
	Racks    []rack
	Large    bool
	Sized    string
	Cords    []cord
	Matrices []matrix
	// Away are the rooms that other hosts keep, whose bays are drawn there.
	Away  []awayRow
	Sheet *sheet
	Road  road
	// Sheeted is the session whose recall sheet can be had on paper; empty for none.
	Sheeted string
	// Ports are all points that can be followed, by what owns them.
	Ports []owner
}

type problem struct {
	Severity, Message, Detail, Since string
	Remedies                         []remedy
	// Code is that of the keeper.
	Code string
}

// move is a step in words, with the mark of its cord.
type move struct {
	words.Line
	Mark *Mark
	// Waits is true while steps before it are not done.
	Waits bool
	// Known and Since are of a step that is done.
	Known, Since string
	// Kind is how it looks: plug, pull, move, mute, unmute or other. Knob is where the
	// hand mutes; empty elsewhere.
	Kind, Knob string
	// Means is what it does, for the room to know it by beside its number.
	Means string
	// ByPerson is true where there is something to tick.
	ByPerson bool
	// Jacks are those that a plug is touched at.
	Jacks []spot
	ends  []name.Point
	joins []name.Point
}

// spot is a point by its name and in words, with the address that follows it.
type spot struct {
	Name, Words, Follow string
}

// Onward and Then say how the two places hang together.
func (m move) Onward() bool { return m.Action.Joint == words.Onward }
func (m move) Then() bool   { return m.Action.Joint == words.Then }

// Afters are the steps that it waits for.
func (m move) Afters() string { return words.List(m.After) }

// Switches are what is switched at a matrix.
func (m move) Switches() string { return strings.Join(m.Switching, ", ") }

// with is the page in the words of the room as it stands: guests, also of earlier
// sessions whose leads are in, are called by their labels and are what they were.
func (p *page) with(s keep.Status) *page {
	if len(s.Guests) == 0 {
		return p
	}
	one := *p
	one.words = p.words.With(keep.Gear(s.Guests))
	one.heard = heard.NewRoom(keep.Present(p.Studio, nil, s.Guests, s.Known.Patch()))
	return &one
}

func (p *page) view(ctx context.Context, s keep.Status, a asked, d drawing) *view {
	p = p.with(s)
	marks := p.marks.assign(s)
	v := &view{frame: p.frame(s, "bay"), Cautions: words.Cautions, Left: teller{p}.moves(s, marks), Done: teller{p}.done(s, marks), Cords: p.cords(s, marks)}
	now := p.hear(ctx, s)
	a.resolveGuest(now.room.Has)
	v.Trouble = a.trouble
	v.next(a)
	v.undo()
	teller{p}.outcome(v, s)
	v.Touched = follower{p}.touched(now, s, a)
	v.Entering = p.entering(now, s, a)
	v.Hand, v.From = a.Hand, pointText(a.From)
	plugs := plugReader{p}.plugs(s, v.Next, marks)
	plugs.brokenNormals = follower{p}.broken(now.state)
	plugs.touch(a, v.Touched)
	d = d.with(v.Next)
	v.drawn = d.names
	v.Bays = drawer{p}.bays(plugs, a.touchAny(), v.Next, d)
	v.Racks = p.racks(v.Left, v.Next)
	v.Joins = teller{p}.acrossBays(v.Next)
	if a.Hand == "if" && !a.To.IsZero() {
		v.Joins = a.From.String() + " " + a.To.String()
	}
	v.Close = drawer{p}.closeUps(plugs, v.Next)
	v.Matrices = drawer{p}.matrices(s, a, v.Touched, d)
	drawer{p}.leaveAway(v, drawer{p}.away(ctx))
	v.Large, v.Sized = a.Large, a.sized().String()
	v.Sheet = p.sheetOf(ctx, s)
	v.Road = ending{p}.road(v, now, s)
	if !p.large || a.Whole {
		v.Ports = follower{p}.owners(a)
	}
	if p.Paper != nil && s.Session != keep.RestName {
		v.Sheeted = s.Session
	}
	return v
}

// teller puts steps and problems into words.
type teller struct{ page *page }

// acrossBays are the two jacks of a move's cord that no picture of one bay can show
// together.
func (h teller) acrossBays(m *move) string {
	if m == nil || len(m.joins) != 2 || m.joins[0].Owner == m.joins[1].Owner || !h.page.isBay(m.joins[0].Owner) || !h.page.isBay(m.joins[1].Owner) {
		return ""
	}
	return m.joins[0].String() + " " + m.joins[1].String()
}

// knob is where the hand turns down or up what a step mutes.
func (h teller) knob(s plan.Step) string {
	var places []string
	for _, end := range s.Ends {
		if at := h.page.words.MuteAt(end); at != "" && !slices.Contains(places, at) {
			places = append(places, at)
		}
	}
	return words.List(places)
}

func pointText(p name.Point) string {
	if p.IsZero() {
		return ""
	}
	return p.String()
}

func (h teller) outcome(v *view, s keep.Status) {
	for _, q := range h.problems(s) {
		if q.Code == "not-given" && s.Plan != nil && len(s.Plan.Missing) > 0 {
			continue // it stands among what is missing
		}
		if q.Code != "planning" {
			v.Problems = append(v.Problems, q)
			continue
		}
		q.Message = sentence(q.Message)
		v.Planning = append(v.Planning, q)
	}
	v.Grave = slices.ContainsFunc(v.Problems, func(q problem) bool { return q.Severity != "advice" })
	if s.Plan == nil {
		return
	}
	v.Missing = h.page.words.Missing(s.Plan.Missing)
	v.Grave = v.Grave || len(v.Missing) > 0
	v.Loses = h.page.words.Loses(s.Plan, s.Left)
}

func (h teller) problems(s keep.Status) []problem {
	var all []problem
	for _, q := range s.Problems {
		all = append(all, problem{q.Severity, h.page.words.Said(q.Message), h.page.words.Said(q.Detail), h.page.clock(q.Since), h.page.remedies(q), q.Code})
	}
	return all
}

func (h teller) moves(s keep.Status, marks map[joint]Mark) []move {
	var all []move
	for i, l := range h.page.words.Numbered(s.Known).Lines(s.Left) {
		all = append(all, h.move(s.Left[i], l, marks))
	}
	return all
}

func (h teller) done(s keep.Status, marks map[joint]Mark) []move {
	var all []move
	// The newest stands first: it is the one that somebody takes back.
	for _, d := range slices.Backward(s.Done) {
		m := h.move(d.Step, h.page.words.Line(d.Step), marks)
		m.Known, m.Since = how(d.Fact), h.page.clock(d.Since)
		all = append(all, m)
	}
	return all
}

func (h teller) move(s plan.Step, l words.Line, marks map[joint]Mark) move {
	m := move{Line: l, Means: keep.MeansOf(s), Kind: kindOf(s.Do), Waits: len(l.After) > 0, ByPerson: l.By == "", ends: s.Ends, joins: s.Ends}
	if s.Do == plan.Mute || s.Do == plan.Unmute {
		m.Knob = h.knob(s)
	}
	if s.Do == plan.MoveEnd {
		m.joins = s.To
		m.ends = append(slices.Clone(s.Ends), less(s.To, s.Ends)...)
	}
	if mark, ok := marks[jointOf(m.joins)]; ok {
		m.Mark = &mark
	}
	for _, end := range m.ends {
		if h.page.isBay(end.Owner) {
			m.Jacks = append(m.Jacks, spot{Name: end.String(), Words: h.page.words.Point(end)})
		}
	}
	return m
}

// next picks the first move that waits for nothing and was not put off, and
// counts those by hand. Once all were put off they come again.
func (v *view) next(a asked) {
	var put *move
	for i := range v.Left {
		m := &v.Left[i]
		if m.ByPerson {
			v.Hands++
		}
		switch {
		case m.Waits:
		case !m.ByPerson && v.ByItself == "":
			v.ByItself = m.By + ": " + m.Switches()
		case !m.ByPerson:
		case slices.Contains(a.Skip, m.ID):
			v.Skipped++
			put = cmp.Or(put, m)
		default:
			v.Next = cmp.Or(v.Next, m)
		}
	}
	v.Next = cmp.Or(v.Next, put)
	if v.Next != nil {
		v.NextID = v.Next.ID
		v.Skip = a.later(v.Next.ID).String()
	}
	unskipped := a.calm()
	unskipped.Skip = nil
	v.Unskip = unskipped.String()
	v.Else = a.hand("plug", name.Point{}).String()
}

func (v *view) undo() {
	for i := range v.Done {
		if v.Done[i].ByPerson {
			v.Undo = &v.Done[i]
			return
		}
	}
}
