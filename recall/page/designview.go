package page

import (
	"fmt"
	"net/http"
	"strings"

	"bayhand/model/arrange"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// designView is two layouts side by side.
type designView struct {
	frame
	Maps []designMap
	// Ask is what the next block does, for the hand and for who listens.
	Ask                       string
	Sizes, Rows, Others, Tidy []designChoice
	Undo, Again, Drop         string
	Wiring                    []string
	// Why is the draft column by column.
	Why []arrange.Run
	// Wide is set where a bay is too wide for two side by side: they stand one above the
	// other, column above column.
	Wide bool
}

// designChoice is a link to the same with one thing otherwise.
type designChoice struct {
	Text, Address string
	Chosen        bool
}

// designMap is one layout with what it costs.
type designMap struct {
	Key, Title string
	Bays       []designBay
	Facts      []string
	Findings   []string
	Draft      bool
}

// designBay is the picture of one bay, in millimetres of the real thing.
type designBay struct {
	Label         string
	Width, Height float64
	Parts         []designPart
	Signs         []designSign
	Blocks        []designBlock
	Stays         []designStay
	Says          string
}

// designPart is a run of ports of one line of wiring in a row.
type designPart struct {
	X, Y, Width float64
	Words       []designWord
	Blank       bool
}

// designWord is a line of text around a place.
type designWord struct {
	X, Y float64
	Text string
}

// designSign is what the pair of a column does.
type designSign struct {
	X      float64
	Number int
	Mode   string
}

// Left and Right are the two lines of jacks that are always joined; BarFrom is where
// the bar begins at the jack whose plug breaks a normal.
func (s designSign) Left() float64    { return s.X - 0.7 }
func (s designSign) Right() float64   { return s.X + 0.7 }
func (s designSign) BarFrom() float64 { return s.X - 1.2 }

// designBlock is a run of columns that a hand can take.
type designBlock struct {
	ID             string
	From           int
	X, Width       float64
	Address, Words string
	Held, Here     bool
}

// The picture, from its upper edge, in millimetres: a strip of names, numbers and
// signs, a strip of names.
const (
	designStrip  = 8.0
	designSigns  = 11.0
	designHeight = 2*designStrip + designSigns
	designHalf   = 153.0 // 24 columns have room beside 24 others on a desk's screen
)

func (h designHandler) showDesign(w http.ResponseWriter, r *http.Request) {
	status, err := h.page.Room.Status(r.Context())
	v := &designView{frame: h.page.frame(status, "design")}
	v.Heading = "What lands where"
	if err != nil {
		v.Trouble = words.Put("The room cannot be read: {reason}", "reason", err.Error())
		write(w, r, http.StatusServiceUnavailable, "design.html", v)
		return
	}
	ask := readDesign(r.URL.Query())
	if err := h.fillDesign(r, v, ask); err != nil {
		v.Trouble = words.Put("It stays as it was: {reason}.", "reason", err.Error())
	}
	write(w, r, http.StatusOK, "design.html", v)
}

func (h designHandler) fillDesign(r *http.Request, v *designView, ask designAsk) error {
	q, err := h.designRequest(r, ask.Tidy)
	if err != nil {
		return err
	}
	if len(q.Sessions) == 0 {
		return fmt.Errorf("%w: no session says what is wanted where; write one or two first", arrange.ErrCannot)
	}
	proposal, err := h.page.designs.lay(q)
	if err != nil {
		return err
	}
	draft, refused := drafted(q, proposal, &ask)
	beside, title := proposal, "The proposal"
	now, noneNow := arrange.Present(q)
	if noneNow == nil && ask.Beside == "now" {
		beside, title = now, "The room as it is"
	}
	v.Maps = []designMap{h.designMap(beside, "beside", title, noneNow == nil), h.designMap(draft, "draft", draftTitle(ask), noneNow == nil)}
	v.Maps[1].Facts = append(v.Maps[1].Facts, against(draft.Sum(), beside.Sum(), title))
	h.take(&v.Maps[1], draft, ask)
	v.choices(ask, noneNow == nil)
	v.Wiring, v.Why = draft.Wiring(), arrange.Runs(draft.Columns())
	for _, b := range v.Maps[1].Bays {
		v.Wide = v.Wide || b.Width > designHalf
	}
	return refused
}

// against says what a draft costs more or less than what stands beside it.
func against(draft, beside arrange.Sum, title string) string {
	var parts []string
	for _, part := range []struct {
		change                         int
		oneMore, more, oneFewer, fewer string
	}{
		{draft.Plugs - beside.Plugs, "1 plug more", "{n} plugs more", "1 plug fewer", "{n} plugs fewer"},
		{draft.Lines - beside.Lines, "1 line more", "{n} lines more", "1 line fewer", "{n} lines fewer"},
	} {
		switch {
		case part.change > 0:
			parts = append(parts, words.Count(part.change, part.oneMore, part.more))
		case part.change < 0:
			parts = append(parts, words.Count(-part.change, part.oneFewer, part.fewer))
		}
	}
	other := strings.ToLower(title[:1]) + title[1:]
	if parts == nil {
		return words.Put("as many plugs and lines as {layout}", "layout", other)
	}
	return words.Put("{changes} than {layout}", "changes", strings.Join(parts, " and "), "layout", other)
}

func draftTitle(ask designAsk) string {
	switch len(ask.Moved) {
	case 0:
		return "Your draft: as proposed so far"
	case 1:
		return "Your draft: one exchange from the proposal"
	}
	return fmt.Sprintf("Your draft: %d exchanges from the proposal", len(ask.Moved))
}

// drafted is the proposal with what was exchanged. What cannot be exchanged is left
// out, and said.
func drafted(q arrange.Request, l *arrange.Layout, ask *designAsk) (*arrange.Layout, error) {
	for n, e := range ask.Moved {
		next, err := l.Exchanged(q, e.A, e.B, e.Size, e.Row)
		if err != nil {
			ask.Moved = ask.Moved[:n]
			return l, err
		}
		l = next
	}
	return l, nil
}

// rear says what there is to do behind the bays.
func rear(cables int, wired bool) string {
	if wired {
		return words.Count(cables, "1 cable to move at the rear", "{n} cables to move at the rear")
	}
	return words.Count(cables, "1 cable to wire", "{n} cables to wire")
}

// designMap is the picture of a layout, and what it costs; wired says whether the room is.
func (h designHandler) designMap(l *arrange.Layout, key, title string, wired bool) designMap {
	sum := l.Sum()
	m := designMap{Key: key, Title: title, Facts: []string{
		words.Count(sum.Plugs, "1 plug from the rest patch in all sessions by their weights, as the columns add up", "{n} plugs from the rest patch in all sessions by their weights, as the columns add up"),
		words.Count(sum.Lines, "1 line of wiring", "{n} lines of wiring"),
		rear(sum.Moves, wired),
	}}
	if mults := l.Mults(); mults.Jacks > 0 {
		m.Facts = append(m.Facts, words.Count(mults.Jacks, "a mult of 1 jack is missing: {reason}", "a mult of {n} jacks is missing: {reason}", "reason", mults.Because))
	}
	for _, line := range arrange.StraightLines(l.Straight()) {
		m.Facts = append(m.Facts, words.Put("straight, on no bay: {line}", "line", line))
	}
	for _, u := range l.Left() {
		m.Facts = append(m.Facts, words.Put("no place for {port}: {reason}", "port", h.page.words.Point(u.Port), "reason", u.Because))
	}
	for _, f := range arrange.Findings(h.page.Studio, l.Apply()) {
		m.Findings = append(m.Findings, f.Message)
	}
	columns := l.Columns()
	for n := range h.page.Studio.Bays {
		if b, ok := h.designBay(&h.page.Studio.Bays[n], columns); ok {
			m.Bays = append(m.Bays, b)
		}
	}
	return m
}

// designBay draws the columns of one bay that are arranged; none for a bay without.
func (h designHandler) designBay(b *studio.Bay, columns []arrange.Column) (designBay, bool) {
	pitch := pitchOf(*b)
	d := designBay{Label: h.page.words.Owner(b.Name), Width: float64(b.Pairs()) * pitch, Height: designHeight}
	for row, part := range []func(arrange.Column) name.Point{
		func(c arrange.Column) name.Point { return c.Top }, func(c arrange.Column) name.Point { return c.Bottom },
	} {
		d.strips(b, columns, float64(row)*(designStrip+designSigns), part)
	}
	for _, r := range arrange.Runs(columns) {
		if r.Bay == b.Name {
			d.Says += words.Put("{columns}: {upper} over {lower}, {mode}. ", "columns", r.Pairs(), "upper", r.Top, "lower", r.Bottom, "mode", r.Mode)
		}
	}
	for _, c := range columns {
		if c.Bay == b.Name {
			d.Signs = append(d.Signs, designSign{(float64(c.Pair) - 0.5) * pitch, c.Pair, c.Mode})
		}
	}
	d.stay(b, columns)
	return d, d.Parts != nil
}

// take lays blocks over the draft, each a link that takes it in the hand, or that
// exchanges it with the one that is.
func (h designHandler) take(m *designMap, l *arrange.Layout, ask designAsk) {
	m.Draft = true
	columns := l.Columns()
	for n := range m.Bays {
		bay := &m.Bays[n]
		for from := 0; from < len(columns); from++ {
			if h.page.words.Owner(columns[from].Bay) != bay.Label || (columns[from].Pair-1)%ask.Size != 0 || !whole(columns, from, ask.Size) {
				continue
			}
			bay.Blocks = append(bay.Blocks, h.block(columns, from, ask))
		}
	}
}

// whole says whether a run of columns is on one bay without a gap.
func whole(columns []arrange.Column, from, size int) bool {
	last := from + size - 1
	return last < len(columns) && columns[last].Bay == columns[from].Bay && columns[last].Pair == columns[from].Pair+size-1
}

func (h designHandler) block(columns []arrange.Column, from int, ask designAsk) designBlock {
	first := columns[from]
	pitch := 0.0
	for n := range h.page.Studio.Bays {
		if h.page.Studio.Bays[n].Name == first.Bay {
			pitch = pitchOf(h.page.Studio.Bays[n])
		}
	}
	b := designBlock{ID: fmt.Sprintf("block-%d", from), From: from, X: float64(first.Pair-1) * pitch, Width: float64(ask.Size) * pitch}
	b.Words = fmt.Sprintf("%s %d to %d", h.page.words.Owner(first.Bay), first.Pair, first.Pair+ask.Size-1)
	b.Held, b.Here = ask.Held == from, ask.Held >= 0 && ask.Held != from
	b.Address = ask.address(func(a *designAsk) {
		switch {
		case b.Held:
			a.Held = -1
		case b.Here:
			a.Moved, a.Held = append(a.Moved, exchange{ask.Held, from, ask.Size, ask.Row}), -1
		default:
			a.Held = from
		}
	})
	return b
}

// choices are the links beside the map.
func (v *designView) choices(ask designAsk, hasNow bool) {
	for _, size := range blockSizes {
		v.Sizes = append(v.Sizes, designChoice{fmt.Sprint(size), ask.address(func(a *designAsk) { a.Size, a.Held = size, -1 }), ask.Size == size})
	}
	for _, r := range rowNames {
		v.Rows = append(v.Rows, designChoice{r.Text, ask.address(func(a *designAsk) { a.Row, a.Held = r.Row, -1 }), ask.Row == r.Row})
	}
	if hasNow {
		v.Others = []designChoice{
			{"the room as it is", ask.address(func(a *designAsk) { a.Beside = "now" }), ask.Beside == "now"},
			{"the proposal", ask.address(func(a *designAsk) { a.Beside = "proposal" }), ask.Beside == "proposal"},
		}
	}
	for _, t := range []struct {
		tidy int
		text string
	}{{0, "fewest plugs"}, {5, "both"}, {10, "fewest lines"}} {
		v.Tidy = append(v.Tidy, designChoice{t.text, ask.address(func(a *designAsk) { a.Tidy, a.Moved, a.Held = t.tidy, nil, -1 }), ask.Tidy == t.tidy})
	}
	v.Ask = "Take a block: drag it onto another, or touch one and then the other. The two change places."
	if ask.Held >= 0 {
		v.Ask = "Now touch the block that it changes places with."
		v.Drop = ask.address(func(a *designAsk) { a.Held = -1 })
	}
	if len(ask.Moved) > 0 {
		v.Undo = ask.address(func(a *designAsk) { a.Moved, a.Held = a.Moved[:len(a.Moved)-1], -1 })
		v.Again = ask.address(func(a *designAsk) { a.Moved, a.Held = nil, -1 })
	}
}

// countOf is a number of things.
