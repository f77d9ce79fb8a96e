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

func (h benchHandler) benchView(ctx context.Context, b practice, trouble error, d drawing) *benched {
	// The bench shows the room's name and nothing else of it.
	status, err := h.page.Room.Status(ctx)
	if err != nil {
		status = keep.Status{}
	}
	v := &benched{frame: h.page.frame(status, "bench"), Lessons: h.page.lessons, CanCapture: h.page.Capture != nil, Since: "the rest patch"}
	v.Heading, v.Address, v.Practice = "Practice bench", b.address(), true
	if trouble != nil {
		v.Trouble = trouble.Error()
	}
	if b.Lesson != "" || b.From == fromNothing {
		v.Since = "nothing plugged"
	}
	began := h.began(b)
	a := bench.Hear(h.page.Studio, b.Setup, began)
	h.benchAnswer(v, a)
	v.Lesson = h.benchLesson(b, a.State)
	v.Touched = h.benchTouched(b, a)
	plugs := h.benchPlugs(b, a, v.Touched)
	if v.Lesson != nil {
		plugs.next = set(v.Lesson.Jacks)
		d = d.about(v.Lesson.Jacks)
	}
	v.Bays = drawer{h.onBench(b)}.bays(plugs, "/bench?do=tap&a=", nil, d)
	v.drawn, v.Racks = d.names, h.page.racks(nil, nil)
	v.Matrices = h.benchMatrices(b, v.Touched, plugs.next, d)
	v.InHand = h.inHand(b)
	for _, m := range b.Modes {
		v.Changed = append(v.Changed, fmt.Sprintf("%s %d is %s", h.page.words.Owner(m.Bay), m.Number, m.Mode))
	}
	v.Plugs = len(b.Patch.Cords) + len(b.Patch.Leads) + len(b.Patch.Dummies)
	v.Query = plainQuery(b.values())
	v.Fields = fields(b.values())
	return v
}

// onBench is the page with the modes of the bench, for its pictures.
func (h benchHandler) onBench(b practice) *page {
	q := &page{Options: h.page.Options, words: h.page.words, heard: h.page.heard, marks: h.page.marks, sides: h.page.sides, strips: h.page.strips}
	q.Studio = b.Copy(h.page.Studio)
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

func (h benchHandler) benchAnswer(v *benched, a bench.Answer) {
	for _, c := range a.Changed {
		v.Heard = append(v.Heard, benchHeard{h.page.words.Point(c.Destination), h.hears(c.Now), h.hears(c.Before)})
	}
	for _, b := range a.Broken {
		v.Broken = append(v.Broken, fmt.Sprintf("%s %d, by the plug in %s", h.page.words.Owner(b.Bay), b.Number, h.page.words.Points(b.By)))
	}
	for _, l := range a.Loops {
		v.Loops = append(v.Loops, h.page.words.Points(l.Through))
	}
	for _, s := range a.Says {
		v.Says = append(v.Says, benchSaid{s.Severity, s.Title, h.page.words.Said(s.Message), words.Clean(s.Manual)})
	}
}

func (h benchHandler) hears(sources []name.Point) string {
	if len(sources) == 0 {
		return "nothing"
	}
	return h.page.words.Points(sources)
}

func (h benchHandler) benchLesson(b practice, state *heard.State) *benchLesson {
	l := h.lesson(b.Lesson)
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
func (h benchHandler) inHand(b practice) string {
	if b.Hand.IsZero() {
		return ""
	}
	if b.In(b.Hand) != nil {
		return words.Put("The plug in {hand} is in your hand. Touch the jack that it goes to, or the same one to leave it.", "hand", h.page.words.Point(b.Hand))
	}
	return words.Put("A cord begins at {hand}. Touch the jack of its other end, or the same one to let go.", "hand", h.page.words.Point(b.Hand))
}
