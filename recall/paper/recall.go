package paper

import (
	"slices"
	"strconv"
	"time"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// Recall is the recall sheet of a session: all that a person needs who sets it up
// weeks later with the computer off, and ticks what was done.
type Recall struct {
	Studio  string    `json:"studio"`
	Session string    `json:"session"`
	Date    time.Time `json:"-"`
	// Origin names the files with their checksums, Known says where the patch comes
	// from and how it is known.
	Origin string `json:"origin"`
	Known  string `json:"known"`
	// Since is the session that only what differs from is told of; empty for all.
	Since string `json:"since,omitempty"`
	Notes string `json:"notes,omitempty"`
	// Problems are what a person should know first; Missing what cannot be had.
	Problems []string     `json:"problems"`
	Missing  []string     `json:"missing"`
	Steps    []RecallStep `json:"steps"`
	// Stays are cords, leads and dummies that are in before the steps and stay.
	Stays    []RecallCord  `json:"stays"`
	Matrices []MatrixSheet `json:"matrices"`
	Settings []GearSheet   `json:"settings"`
	// Lists are what else the session says, each under its title.
	Lists []List `json:"lists"`
	// Address is what the picture for a camera says.
	Address string `json:"address,omitempty"`

	// patch is the one at the end, drawn with its marks.
	patch patch.Patch
	marks map[[2]name.Point]string
	room  *studio.Studio
}

// RecallStep is one step. A step with a cord, lead or dummy has it beside.
type RecallStep struct {
	Number string `json:"number"`
	// By is the matrix that does it by itself; empty for a person.
	By   string      `json:"by,omitempty"`
	Verb string      `json:"verb"`
	What string      `json:"what"`
	Also string      `json:"also,omitempty"`
	Cord *RecallCord `json:"cord,omitempty"`
}

// MarkKnown says of each plug that is in and stays how it is known.
func (r *Recall) MarkKnown(k keep.Known) {
	for i, c := range r.Stays {
		if how, in := k.Plugged(c.Ends); in {
			r.Stays[i].Known = words.How(how)
		}
	}
}

// RecallCord is a cord, a lead or a dummy. Ends are as files have them.
type RecallCord struct {
	Mark   string       `json:"mark"`
	Ends   []name.Point `json:"ends"`
	From   string       `json:"from"`
	To     string       `json:"to,omitempty"`
	Length string       `json:"length,omitempty"`
	Poles  int          `json:"poles,omitempty"`
	// Known is how it is known that it is in; empty where nobody asked.
	Known string `json:"known,omitempty"`
	// Room is the one in which it is plugged; empty where all is one room.
	Room string `json:"room,omitempty"`
	// Lines are the names of the session's lines that go over it; Carries says it in
	// places.
	Lines   string `json:"lines,omitempty"`
	Carries string `json:"carries,omitempty"`
}

// MatrixSheet is one matrix as it must be.
type MatrixSheet struct {
	Name   string       `json:"name"`
	Inputs int          `json:"inputs"`
	Points []MatrixLine `json:"points"`
}

// MatrixLine is one output and the inputs that it listens to, by their numbers, with
// what is behind them.
type MatrixLine struct {
	Output int    `json:"output"`
	Inputs []int  `json:"inputs"`
	From   string `json:"from,omitempty"`
	To     string `json:"to,omitempty"`
	// short is To by short labels.
	short string
}

// GearSheet are the settings of one unit.
type GearSheet struct {
	Label string `json:"label"`
	Items []Item `json:"items"`
	// Picture is a PNG or JPEG file of its front; nil for none.
	Picture []byte `json:"-"`
}

// Item is one knob, switch or program and where it stands.
type Item struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// List is a title with phrases under it.
type List struct {
	Title string   `json:"title"`
	Lines []string `json:"lines"`
}

// Occasion is what a recall sheet is made of.
type Occasion struct {
	Room    *heard.Room
	Session *session.Session
	// Plan is the way from the patch From, in its order.
	Plan *plan.Plan
	From patch.Patch
	// Pictures are files of fronts by the names of gear.
	Pictures map[string][]byte
}

// FromOccasion makes the sheet. It takes time linear in the room and the plan, beside
// hearing the room once.
func FromOccasion(o Occasion) Recall {
	room := o.Room.For(o.Session)
	s := room.Studio()
	w := words.In(s)
	r := Recall{
		Studio: words.Clean(s.Name), Session: words.Clean(o.Session.Title), Notes: words.Clean(o.Session.Notes),
		Problems: []string{}, Missing: []string{}, Steps: []RecallStep{}, Stays: []RecallCord{}, Matrices: []MatrixSheet{}, Settings: []GearSheet{}, Lists: []List{},
		patch: patch.Patch(o.Plan.Target), room: s,
	}
	for _, m := range w.Missing(o.Plan.Missing) {
		r.Missing = append(r.Missing, m.Want+": "+m.Because)
	}
	c := newCordList(w, s, room.Hear(r.patch), o.Session, r.patch)
	r.marks = c.marks
	for _, step := range o.Plan.Steps {
		r.Steps = append(r.Steps, c.step(step))
	}
	r.Stays = append(r.Stays, c.stays(o.Plan.Steps)...)
	r.Matrices = append(r.Matrices, matrixSheets(s, w, r.patch)...)
	r.Settings = append(r.Settings, gearSheets(s, w, o)...)
	r.Lists = append(r.Lists, listsOf(w, o.Session)...)
	if off := offLevels(room, w, o.Session, r.patch); len(off) > 0 {
		r.Lists = append(r.Lists, List{"3 dB or more from the level that is wanted", off})
	}
	return r
}

func matrixSheets(s *studio.Studio, w *words.Words, p patch.Patch) []MatrixSheet {
	var all []MatrixSheet
	for _, m := range s.Matrices {
		sheet := MatrixSheet{Name: w.Owner(m.Name), Inputs: m.Inputs, Points: []MatrixLine{}}
		for n := 1; n <= m.Outputs; n++ {
			line := MatrixLine{Output: n, Inputs: []int{}, To: w.Points(w.Rear(m.Out(n))), short: w.Short().Points(w.Rear(m.Out(n)))}
			for _, in := range p.Inputs(m.Out(n)) {
				line.Inputs = append(line.Inputs, in.Number)
				line.From = joinNonEmpty(line.From, w.Points(w.Rear(in)))
			}
			sheet.Points = append(sheet.Points, line)
		}
		all = append(all, sheet)
	}
	return all
}

func fromTo(from, to string) string { return words.Put("{from} to {to}", "from", from, "to", to) }

func joinNonEmpty(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return words.List([]string{a, b})
}

// gearSheets are the settings and programs, a block a unit, in the session's order.
func gearSheets(s *studio.Studio, w *words.Words, o Occasion) []GearSheet {
	var all []GearSheet
	of := func(gear string) *GearSheet {
		for i := range all {
			if all[i].Label == w.Owner(gear) {
				return &all[i]
			}
		}
		all = append(all, GearSheet{Label: w.Owner(gear), Items: []Item{}, Picture: o.Pictures[gear]})
		return &all[len(all)-1]
	}
	for _, set := range o.Session.Settings {
		for _, v := range set.Values {
			g := of(set.Gear)
			g.Items = append(g.Items, Item{words.Clean(v.Name), words.Clean(v.Value)})
		}
	}
	for _, program := range o.Session.Programs {
		number := o.Session.PanelNumber(s, program)
		g := of(program.Gear)
		g.Items = append(g.Items, Item{"program", strconv.Itoa(number)})
	}
	for _, picture := range o.Session.Pictures {
		of(picture.Gear)
	}
	return all
}

func listsOf(w *words.Words, s *session.Session) []List {
	var all []List
	add := func(title string, lines []string) {
		if len(lines) > 0 {
			all = append(all, List{title, lines})
		}
	}
	var keep, inside, silent, cut, guests []string
	for _, want := range s.Wants {
		if want.Keep {
			keep = append(keep, fromTo(w.Point(want.Source), w.Point(want.Destination)))
		}
	}
	for _, p := range s.Inside {
		inside = append(inside, fromTo(w.Point(p.In), w.Point(p.Out)))
	}
	if len(s.Silent) > 0 {
		silent = append(silent, w.Points(s.Silent))
	}
	for _, c := range s.Cut {
		cut = append(cut, w.Owner(c))
	}
	for _, g := range s.Guests {
		guests = append(guests, w.Owner(g.Name))
	}
	for _, sub := range s.Substitutes {
		guests = append(guests, words.Put("{one} stands in for {other}", "one", w.Owner(sub.StandIn), "other", w.Owner(sub.Away)))
	}
	add("Carried inside the software or desk", inside)
	add("Must stay silent", silent)
	add("Muted at its own switch", cut)
	add("Never interrupted", keep)
	add("Here for this session", guests)
	return all
}

// Kept says whether the sheet's patch has the plugs of another one.
func (r Recall) Kept(p patch.Patch) bool {
	a, b := r.patch.Clone(), p.Clone()
	a.Sort()
	b.Sort()
	return len(a.Cords) == len(b.Cords) && slices.EqualFunc(a.Cords, b.Cords, patch.Cord.Same) &&
		slices.Equal(a.Leads, b.Leads) && slices.Equal(a.Dummies, b.Dummies)
}
