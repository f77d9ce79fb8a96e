package page

import (
	"context"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/page/bench"
	"bayhand/recall/words"
)

// benchView is the view of the bench.
type benchView struct {
	frame
	Bays     []bay
	Matrices []matrix
	// Heard are the destinations that hear something else than in the beginning;
	// Since says what the beginning was.
	Heard []benchHeard
	Since string
	// Broken are the normals that plugs hold open, Loops ways that come back.
	Broken, Loops []string
	Says          []benchSaid
	Lesson        *benchLesson
	Lessons       []bench.Lesson
	Touched       *benchTouched
	// InHand says what is in hand, and what to touch next.
	InHand string
	// Changed are the pairs whose mode is not the studio's.
	Changed    []string
	CanCapture bool
	// Query is the bench for the forms that bring it back.
	Query  string
	Fields []field
	Plugs  int
}

type field struct{ Key, Value string }

type benchHeard struct{ Destination, Now, Before string }

type benchSaid struct {
	Severity, Title, Message, Manual string
}

// benchLesson is the lesson that is taken, at one of its tasks.
type benchLesson struct {
	Title, About string
	Task, Tasks  int
	Ask, So      string
	// Done is true where the task is done, Over after the last one.
	Done, Over bool
}

// benchTouched is the jack in hand or the point that is followed.
type benchTouched struct {
	touched
	// Held is what is in the jack.
	Held  string
	Modes []benchMode
	Pair  string
}

type benchMode struct {
	Word string
	Now  bool
}

func (p *page) benchView(ctx context.Context, b practice, trouble error) *benchView {
	// The bench shows the room's name and nothing else of it.
	status, err := p.Room.Status(ctx)
	if err != nil {
		status = keep.Status{}
	}
	v := &benchView{frame: p.frame(status, "bench"), Lessons: p.lessons, CanCapture: p.Capture != nil, Since: "the room at rest"}
	v.Heading, v.Address, v.Practice = "The bench", b.address(), true
	if trouble != nil {
		v.Trouble = trouble.Error()
	}
	if b.Lesson != "" || b.From == fromNothing {
		v.Since = "nothing plugged"
	}
	began := p.began(b)
	a := bench.Hear(p.Studio, b.Setup, began)
	p.benchAnswer(v, a)
	v.Lesson = p.benchLesson(b, a.State)
	v.Touched = p.benchTouched(b, a)
	v.Bays = p.onBench(b).bays(p.benchPlugs(b, a, v.Touched), "/bench?do=tap&a=", nil)
	v.Matrices = p.benchMatrices(b, v.Touched)
	v.InHand = p.inHand(b)
	for _, m := range b.Modes {
		v.Changed = append(v.Changed, fmt.Sprintf("%s %d is %s", p.words.Owner(m.Bay), m.Number, m.Mode))
	}
	v.Plugs = len(b.Patch.Cords) + len(b.Patch.Leads) + len(b.Patch.Dummies)
	v.Query = plainQuery(b.values())
	v.Fields = fields(b.values())
	return v
}

// onBench is the page with the modes of the bench, for its pictures.
func (p *page) onBench(b practice) *page {
	q := &page{Options: p.Options, words: p.words, heard: p.heard, marks: p.marks, sides: p.sides}
	q.Studio = b.Copy(p.Studio)
	return q
}

func fields(q url.Values) []field {
	var all []field
	for key := range q {
		all = append(all, field{key, q.Get(key)})
	}
	slices.SortFunc(all, func(a, b field) int { return strings.Compare(a.Key, b.Key) })
	return all
}

func (p *page) benchAnswer(v *benchView, a bench.Answer) {
	for _, c := range a.Changed {
		v.Heard = append(v.Heard, benchHeard{p.words.Point(c.Destination), p.hears(c.Now), p.hears(c.Before)})
	}
	for _, b := range a.Broken {
		v.Broken = append(v.Broken, fmt.Sprintf("%s %d, by the plug in %s", p.words.Owner(b.Bay), b.Number, p.words.Points(b.By)))
	}
	for _, l := range a.Loops {
		v.Loops = append(v.Loops, p.words.Points(l.Through))
	}
	for _, s := range a.Says {
		v.Says = append(v.Says, benchSaid{s.Severity, s.Title, p.words.Said(s.Message), words.Clean(s.Manual)})
	}
}

func (p *page) hears(sources []name.Point) string {
	if len(sources) == 0 {
		return "nothing"
	}
	return p.words.Points(sources)
}

func (p *page) benchLesson(b practice, state *heard.State) *benchLesson {
	l := p.lesson(b.Lesson)
	if l == nil {
		return nil
	}
	one := &benchLesson{Title: l.Title, About: l.About, Task: b.Task + 1, Tasks: len(l.Tasks), Over: b.Task >= len(l.Tasks)}
	if one.Over {
		return one
	}
	task := l.Tasks[b.Task]
	one.Ask, one.So, one.Done = task.Ask, task.So, task.Done(b.Setup, state)
	return one
}

func (p *page) benchTouched(b practice, a bench.Answer) *benchTouched {
	at := b.At
	if !b.Hand.IsZero() {
		at = b.Hand
	}
	if at.IsZero() || !a.Room.Has(at) {
		return nil
	}
	t := &benchTouched{touched: touched{
		Name: at.String(), Words: p.words.Point(at), Close: "/bench?do=drop", IsJack: p.takesPlug(at), lit: map[name.Point]bool{at: true},
	}}
	p.follow(&t.touched, present{room: a.Room, state: a.State, patch: b.Patch}, asked{At: at})
	for _, spots := range [][]spot{t.Hears, t.Reaches, t.Origins, t.Onward} {
		for i := range spots {
			spots[i].Follow = "/bench?do=at&a=" + spots[i].Name
		}
	}
	if behind := p.words.Behind(at); behind != "" {
		t.Facts = append(t.Facts, "behind it: "+behind)
	}
	if !t.IsJack {
		return t
	}
	t.Held = p.heldAt(b, at)
	if !p.isBay(at.Owner) {
		return t
	}
	t.Pair = fmt.Sprintf("%s %d", p.words.Owner(at.Owner), at.Number)
	now := b.Like(p.Studio, at)
	for _, m := range bench.Modes {
		t.Modes = append(t.Modes, benchMode{m.String(), m == now})
	}
	return t
}

// heldAt is what is in a jack, in a phrase; empty for nothing.
func (p *page) heldAt(b practice, at name.Point) string {
	for i, c := range b.Patch.Cords {
		if slices.Contains(c.Ends(), at) {
			return "cord " + markNumber(b.Marks[i]).Letter + ": " + p.words.Points(c.Ends())
		}
	}
	switch ends := b.In(at); len(ends) {
	case 2:
		return "a lead: " + p.words.Points(ends)
	case 1:
		return "a dummy"
	}
	return ""
}

// inHand says what a second touch will do.
func (p *page) inHand(b practice) string {
	if b.Hand.IsZero() {
		return ""
	}
	if b.In(b.Hand) != nil {
		return "The plug in " + p.words.Point(b.Hand) + " is in your hand. Touch the jack that it goes to, or the same one to leave it."
	}
	return "A cord begins at " + p.words.Point(b.Hand) + ". Touch the jack of its other end, or the same one to let go."
}

func (p *page) reach(c patch.Cord) measure.Length {
	if c.B.IsZero() {
		return 0
	}
	length, ok := layout.Shortest(p.Studio, c.A, c.B)
	if !ok || p.Studio.Stock.Unlimited {
		return 0
	}
	return length
}

// benchMatrices are the matrices with the bench's crosspoints.
func (p *page) benchMatrices(b practice, t *benchTouched) []matrix {
	var s keep.Status
	for _, m := range p.Studio.Matrices {
		for n := 1; n <= m.Outputs; n++ {
			at := m.Out(n)
			inputs := b.Patch.Inputs(at)
			if len(inputs) == 0 {
				inputs = []name.Point{{}}
			}
			for _, in := range inputs {
				s.Known.Crosspoints = append(s.Known.Crosspoints, keep.KnownCrosspoint{Output: at, Input: in, Fact: keep.Fact{How: keep.Told}})
			}
		}
	}
	var lit *touched
	if t != nil {
		lit = &t.touched
	}
	all := p.matrices(s, asked{}, lit)
	for i := range all {
		all[i].follow("/bench?do=at&a=")
	}
	return all
}

// follow makes the addresses of a matrix lead elsewhere.
func (m *matrix) follow(prefix string) {
	for i := range m.Inputs {
		m.Inputs[i].Follow = prefix + m.Name + "/in" + m.Inputs[i].Number
	}
	for i := range m.Rows {
		m.Rows[i].Follow = prefix + m.Name + "/out" + m.Rows[i].Number
	}
}

// benchPlugs are the plugs on the bench, as the pictures show them.
func (p *page) benchPlugs(b practice, a bench.Answer, t *benchTouched) plugs {
	all := plugs{
		at: map[name.Point]plugged{}, next: map[name.Point]bool{}, faulty: set(p.Studio.Faulty),
		deadNormals: set(p.Studio.FaultyNormals), brokenNormals: map[name.Point]bool{},
	}
	for _, broken := range a.Broken {
		all.brokenNormals[name.At(broken.Bay, studio.Top, broken.Number)] = true
	}
	for i, c := range b.Patch.Cords {
		mark := markNumber(b.Marks[i])
		says := ": cord " + mark.Letter + " hangs loose here"
		if !c.B.IsZero() {
			says = ": cord " + mark.Letter + ", " + p.words.Point(c.A) + " to " + p.words.Point(c.B)
		}
		for _, end := range c.Ends() {
			all.at[end] = plugged{state: "in", kind: "cord", mark: &mark, says: says, length: p.reach(c), other: across(c.Ends(), end)}
		}
	}
	for i, l := range b.Patch.Leads {
		mark := markNumber(bench.Most + i)
		all.at[l.Jack] = plugged{state: "in", kind: "lead", mark: &mark, says: ": lead " + mark.Letter + " from " + p.words.Point(l.Port)}
	}
	for _, d := range b.Patch.Dummies {
		all.at[d] = plugged{state: "in", kind: "dummy", says: ": dummy"}
	}
	if !b.Hand.IsZero() {
		all.next[b.Hand] = true
	}
	all.chosen = b.At
	if t != nil {
		all.lit = t.lit
	}
	return all
}
