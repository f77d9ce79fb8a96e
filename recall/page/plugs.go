package page

import (
	"slices"
	"strings"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// plugs is what is in every jack, and what the moves left want there.
type plugs struct {
	at          map[name.Point]plugged
	next        map[name.Point]bool
	faulty      map[name.Point]bool
	deadNormals map[name.Point]bool
	// brokenNormals are those that a plug holds open, by the top jack.
	brokenNormals map[name.Point]bool
	// lit are on the way of the touched signal; chosen is the touched jack, or the
	// one that something is entered from.
	lit    map[name.Point]bool
	chosen name.Point
}

// plugReader says what is in the jacks and what goes there.
type plugReader struct{ page *page }

// plugged is the plug in one jack, or the one that must go in.
type plugged struct {
	state, kind string
	mark        *Mark
	says        string
	length      measure.Length
	believed    bool
	// other is the jack of the cord's other end.
	other name.Point
}

func (h plugReader) plugs(s keep.Status, next *move, marks map[joint]Mark) plugs {
	all := plugs{at: map[name.Point]plugged{}, next: map[name.Point]bool{}, faulty: set(h.page.Studio.Faulty), deadNormals: set(h.page.Studio.FaultyNormals)}
	for _, t := range s.Tags {
		all.faulty[t.Jack] = true
	}
	if next != nil {
		all.next = set(next.ends)
	}
	h.present(s, marks, all.at)
	for _, step := range s.Left {
		h.wanted(step, marks, all.at)
	}
	return all
}

// touch lights the way of what is touched.
func (all *plugs) touch(a asked, t *touched) {
	all.chosen = a.At
	if !a.From.IsZero() {
		all.chosen = a.From
	}
	if t != nil {
		all.lit = t.lit
	}
}

func set(points []name.Point) map[name.Point]bool {
	all := map[name.Point]bool{}
	for _, p := range points {
		all[p] = true
	}
	return all
}

// present fills in what is known to be plugged.
func (h plugReader) present(s keep.Status, marks map[joint]Mark, at map[name.Point]plugged) {
	for _, c := range s.Known.Cords {
		mark := marks[jointOf(c.Ends())]
		says := words.Put("cord {letter} is loose here", "letter", mark.Letter)
		if !c.B.IsZero() {
			says = words.Put("cord {letter}, {jack} to {other}", "letter", mark.Letter, "jack", h.page.words.Point(c.A), "other", h.page.words.Point(c.B))
		}
		says = joinedFacts(says, h.page.words.Cord(c.Length, c.Poles, c.Ends()), doubt(c.Fact))
		for _, jack := range c.Ends() {
			at[jack] = plugged{state: "in", kind: "cord", mark: &mark, says: says, length: c.Length, believed: believed(c.Fact), other: across(c.Ends(), jack)}
		}
	}
	for _, l := range s.Known.Leads {
		mark := marks[jointOf([]name.Point{l.Port, l.Jack})]
		at[l.Jack] = plugged{state: "in", kind: "lead", mark: &mark, says: joinedFacts(words.Put("gear cable {letter} from {port}", "letter", mark.Letter, "port", h.page.words.Point(l.Port)), doubt(l.Fact)), believed: believed(l.Fact)}
	}
	for _, d := range s.Known.Dummies {
		at[d.Jack] = plugged{state: "in", kind: "dummy", says: joinedFacts("dummy plug", doubt(d.Fact)), believed: believed(d.Fact)}
	}
}

// across is the other of a cord's ends; zero for one that hangs loose.
func across(ends []name.Point, jack name.Point) name.Point {
	for _, end := range ends {
		if end != jack {
			return end
		}
	}
	return name.Point{}
}

func doubt(f keep.Fact) string {
	if believed(f) {
		return "assumed"
	}
	return ""
}

// joinedFacts are facts in a row, without those that are empty.
func joinedFacts(facts ...string) string {
	return strings.Join(slices.DeleteFunc(facts, func(f string) bool { return f == "" }), ", ")
}

// kindCalled is what people call a kind of plug.
func kindCalled(kind string) string {
	switch kind {
	case "lead":
		return "gear cable"
	case "dummy":
		return "dummy plug"
	}
	return kind
}

// wanted marks the jacks of one step that is left: what must come out, and what
// must go in.
func (h plugReader) wanted(s plan.Step, marks map[joint]Mark, at map[name.Point]plugged) {
	switch s.Do {
	case plan.Pull, plan.PullLead, plan.PullDummy:
		going(at, s.Ends, s.ID)
	case plan.Plug:
		coming(at, s.Ends, "cord", marks[jointOf(s.Ends)], s)
	case plan.PlugLead:
		coming(at, s.Ends, "lead", marks[jointOf(s.Ends)], s)
	case plan.PlugDummy:
		coming(at, s.Ends, "dummy", Mark{}, s)
	case plan.MoveEnd:
		going(at, less(s.Ends, s.To), s.ID)
		coming(at, less(s.To, s.Ends), "cord", marks[jointOf(s.To)], s)
	case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.ChangeOver:
	}
}

func less(points, those []name.Point) []name.Point {
	return slices.DeleteFunc(slices.Clone(points), func(q name.Point) bool { return slices.Contains(those, q) })
}

func going(at map[name.Point]plugged, jacks []name.Point, id string) {
	for _, j := range jacks {
		here := at[j]
		here.state = "going"
		here.says = joinedFacts(here.says, words.Put("unplugged in step {id}", "id", id))
		at[j] = here
	}
}

func coming(at map[name.Point]plugged, jacks []name.Point, kind string, mark Mark, s plan.Step) {
	for _, j := range jacks {
		here := at[j]
		says := words.Put("{kind} plugged in step {id}", "kind", kindCalled(kind), "id", s.ID)
		if here.state != "" {
			// What is in it is shown until it is out.
			here.state = "changing"
			here.says = joinedFacts(here.says, says)
			at[j] = here
			continue
		}
		here = plugged{state: "coming", kind: kind, says: says, length: s.Length}
		if mark.Letter != "" {
			here.mark = &mark
			here.says = words.Put("{kind} {letter} plugged in step {id}", "kind", kindCalled(kind), "letter", mark.Letter, "id", s.ID)
		}
		at[j] = here
	}
}
