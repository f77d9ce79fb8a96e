package page

import (
	"context"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/recall/keep"
	"bayhand/recall/page/bench"
	"bayhand/recall/words"
)

// benched is the view of the bench.
type benched struct {
	frame
	Bays     []bay
	Racks    []rack
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
	// Answer says how it is done, to whoever asks.
	Answer string
	// Jacks are those that are asked for.
	Jacks []name.Point
	// Done is true where the task is done, Over after the last one.
	Done, Over bool
}

func (p *page) benchView(ctx context.Context, b practice, trouble error, d drawing) *benched {
	// The bench shows the room's name and nothing else of it.
	status, err := p.Room.Status(ctx)
	if err != nil {
		status = keep.Status{}
	}
	v := &benched{frame: p.frame(status, "bench"), Lessons: p.lessons, CanCapture: p.Capture != nil, Since: "the room at rest"}
	v.Heading, v.Address, v.Practice = "Practice bench", b.address(), true
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
	plugs := p.benchPlugs(b, a, v.Touched)
	if v.Lesson != nil {
		plugs.next = set(v.Lesson.Jacks)
		d = d.about(v.Lesson.Jacks)
	}
	v.Bays = p.onBench(b).bays(plugs, "/bench?do=tap&a=", nil, d)
	v.drawn, v.Racks = d.names, p.racks(nil, nil)
	v.Matrices = p.benchMatrices(b, v.Touched, plugs.next, d)
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
	q := &page{Options: p.Options, words: p.words, heard: p.heard, marks: p.marks, sides: p.sides, strips: p.strips}
	q.Studio = b.Copy(p.Studio)
	if len(b.Modes) > 0 {
		q.strips = newStrips(q.Studio)
	}
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

func (p *page) benchAnswer(v *benched, a bench.Answer) {
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
	one.Ask, one.So, one.Answer, one.Done = task.Ask, task.So, task.Answer, task.Done(b.Setup, state)
	if !one.Done {
		one.Jacks = task.Jacks
	}
	return one
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
