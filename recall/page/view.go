package page

import (
	"strings"
	"time"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// view is everything that the page shows, in words.
type view struct {
	Token string
	// Trouble is why the page shows less than it should, or why a tick failed.
	Trouble string

	Seq            uint64
	Studio         string
	Session, Phase string
	// Stage is the phase's word, for the looks only.
	Stage    string
	Problems []problem
	Missing  []plan.Missing
	Loses    []string
	Cautions []string

	Next *move
	// ByItself is what a matrix is doing while nobody has anything to do.
	ByItself string
	Left     []move
	ByHand   int
	Done     []move

	Bays     []bay
	Cords    []cord
	Matrices []matrix
}

type problem struct {
	Severity, Message, Since string
}

// move is a step in words, with the mark of its cord.
type move struct {
	words.Line
	Mark *Mark
	// Waits is true while steps before it are not done.
	Waits bool
	// Known and Since are of a step that is done.
	Known, Since string
	// ByPerson is true where there is something to tick.
	ByPerson bool
	ends     []name.Point
}

// Onward and Then say how the two places hang together.
func (m move) Onward() bool { return m.Action.Joint == words.Onward }
func (m move) Then() bool   { return m.Action.Joint == words.Then }

// Afters are the steps that it waits for.
func (m move) Afters() string { return words.List(m.After) }

// Switches are what a matrix switches.
func (m move) Switches() string { return strings.Join(m.Switching, ", ") }

func (p *page) view(s keep.Status) view {
	marks := p.marks.settle(s)
	v := view{
		Seq:      s.Seq,
		Studio:   words.Clean(p.Studio.Name),
		Session:  words.Session(s.Session),
		Phase:    words.Phase(s.Phase),
		Stage:    string(s.Phase),
		Cautions: words.Cautions,
		Left:     p.moves(s, marks),
		Done:     p.done(s, marks),
		Cords:    p.cords(s, marks),
	}
	if v.Studio == "" {
		v.Studio = words.Clean(s.Studio)
	}
	if p.Title != nil && s.Session != "" && s.Session != "rest" {
		if title := p.Title(s.Session); title != "" {
			v.Session = words.Clean(title)
		}
	}
	p.next(&v)
	p.outcome(&v, s)
	v.Bays = p.bays(s, v.Next, marks)
	v.Matrices = p.matrices(s)
	return v
}

func (p *page) outcome(v *view, s keep.Status) {
	for _, q := range s.Problems {
		v.Problems = append(v.Problems, problem{q.Severity, words.Clean(q.Message), p.clock(q.Since)})
	}
	if s.Plan == nil {
		return
	}
	v.Missing = s.Plan.Missing
	for _, l := range s.Plan.Loses {
		v.Loses = append(v.Loses, p.words.Point(l.Destination)+" no longer hears "+p.words.Point(l.Source))
	}
}

func (p *page) moves(s keep.Status, marks map[joint]Mark) []move {
	var all []move
	for i, l := range p.words.Lines(s.Left) {
		all = append(all, p.move(s.Left[i], l, marks))
	}
	return all
}

func (p *page) done(s keep.Status, marks map[joint]Mark) []move {
	var all []move
	// The newest stands first: it is the one that somebody takes back.
	for i := len(s.Done) - 1; i >= 0; i-- {
		d := s.Done[i]
		m := p.move(d.Step, p.words.Line(d.Step), marks)
		m.Known, m.Since = words.How(d.How), p.clock(d.Since)
		all = append(all, m)
	}
	return all
}

func (p *page) move(s plan.Step, l words.Line, marks map[joint]Mark) move {
	m := move{Line: l, Waits: len(l.After) > 0, ByPerson: s.By == plan.Person, ends: s.Ends}
	ends := s.Ends
	if s.Do == plan.MoveEnd {
		ends = s.To
		m.ends = append(append([]name.Point{}, s.Ends...), s.To...)
	}
	if mark, ok := marks[jointOf(ends)]; ok {
		m.Mark = &mark
	}
	return m
}

// next picks the first move that waits for nothing, and counts those by hand.
func (p *page) next(v *view) {
	for i := range v.Left {
		m := &v.Left[i]
		if m.ByPerson {
			v.ByHand++
		}
		if m.Waits {
			continue
		}
		if m.ByPerson && v.Next == nil {
			v.Next = m
		}
		if !m.ByPerson && v.ByItself == "" {
			v.ByItself = m.By + ": " + m.Switches()
		}
	}
}

// clock is a time for people; empty for none.
func (p *page) clock(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.In(p.Zone).Format("2 Jan 15:04")
}

// cord is a cord, lead or dummy that is in.
type cord struct {
	Kind         string
	Mark         *Mark
	From, To     string
	Length       string
	Known, Since string
}

func (p *page) cords(s keep.Status, marks map[joint]Mark) []cord {
	var all []cord
	mark := func(ends ...name.Point) *Mark {
		if m, ok := marks[jointOf(ends)]; ok {
			return &m
		}
		return nil
	}
	for _, c := range s.Known.Cords {
		one := cord{Kind: "cord", Mark: mark(c.Ends()...), From: p.words.Point(c.A), To: "hangs loose"}
		if !c.B.IsZero() {
			one.To = p.words.Point(c.B)
		}
		if c.Length > 0 {
			one.Length = c.Length.String()
		}
		all = append(all, p.known(one, c.Fact))
	}
	for _, l := range s.Known.Leads {
		all = append(all, p.known(cord{Kind: "lead", Mark: mark(l.Port, l.Jack), From: p.words.Point(l.Port), To: p.words.Point(l.Jack)}, l.Fact))
	}
	for _, d := range s.Known.Dummies {
		all = append(all, p.known(cord{Kind: "dummy", From: p.words.Point(d.Jack)}, d.Fact))
	}
	return all
}

func (p *page) known(c cord, f keep.Fact) cord {
	c.Known, c.Since = words.How(f.How), p.clock(f.Since)
	return c
}
