package page

import (
	"net/http"
	"slices"
	"strings"

	"bayhand/model/plan"
	"bayhand/recall/words"
)

// handsView is the view for who stands at the bay with full hands: the screen is the
// move, read from two metres, and one tap, key or foot switch ticks it.
type handsView struct {
	frame
	Face *face
	// Following is the move that comes once this one is made, where nothing else must
	// happen between them; nil where that is not known.
	Following *face
	Undo      *move
	Later     string
	Road      road
	ByItself  string
	// Waits is true where steps are left that hands cannot make now.
	Waits    bool
	Sheet    *sheet
	Cautions []string
	// Harms are the problems that do harm as long as they are so.
	Harms []string
}

// face is a move in large letters.
type face struct {
	ID, Means string
	// Kind is how it looks: plug, pull, move, mute, unmute or other.
	Kind, Verb string
	// Cord is the length and colour of the cord; empty for none.
	Cord string
	Mark *Mark
	// From and To are the places; To is empty where there is one.
	From, To string
	Onward   bool
	// Small are words beside the move, for who comes nearer.
	Small []string
	// Along are the bays that it touches, whole, with the cord in them; Close the jacks
	// from near by.
	Along, Close []bay
}

// handsHandler shows the move alone.
type handsHandler struct{ page *page }

// kindOf is how a move looks.
func kindOf(do plan.Do) string {
	switch do {
	case plan.Plug, plan.PlugDummy, plan.PlugLead:
		return "plug"
	case plan.Pull, plan.PullDummy, plan.PullLead:
		return "pull"
	case plan.MoveEnd:
		return "move"
	case plan.Mute, plan.PhantomOff:
		return "mute"
	case plan.Unmute, plan.PhantomOn:
		return "unmute"
	case plan.Switch, plan.ChangeOver:
	}
	return "other"
}

func (h handsHandler) showHands(w http.ResponseWriter, r *http.Request) {
	status, err := h.page.Room.Status(r.Context())
	v := &handsView{frame: h.page.frame(status, "hands"), Cautions: words.Cautions}
	v.Heading, v.AtHands = "The next step", true
	if err != nil {
		v.Trouble = words.Put("The room cannot be read: {reason}", "reason", err.Error())
		write(w, r, http.StatusServiceUnavailable, "hands.html", v)
		return
	}
	for _, q := range status.Problems {
		if q.Harms() {
			v.Harms = append(v.Harms, h.page.words.Said(q.Message))
		}
	}
	a := h.page.asked(r)
	marks := h.page.marks.assign(status)
	bay := &view{Left: teller(h).moves(status, marks), Done: teller(h).done(status, marks), Sheet: h.page.sheetOf(r.Context(), status)}
	bay.next(a)
	bay.undo()
	v.NextID, v.Hands, v.Undo, v.ByItself, v.Waits = bay.NextID, bay.Hands, bay.Undo, bay.ByItself, len(bay.Left) > 0
	v.Road, v.Sheet = ending(h).road(bay, h.page.hear(r.Context(), status), status), bay.Sheet
	if bay.Next != nil {
		v.Face = h.face(*bay.Next)
		h.pictured(v.Face, bay.Next, plugReader(h).plugs(status, bay.Next, marks))
		v.Later = "/hands" + strings.TrimPrefix(bay.Skip, "/")
		if next := bay.following(); next != nil {
			v.Following = h.face(*next)
		}
	}
	write(w, r, http.StatusOK, "hands.html", v)
}

// following is the first move for hands that waits for nothing but the next one.
func (v *view) following() *move {
	for i := range v.Left {
		m := &v.Left[i]
		if !m.ByPerson || m.ID == v.NextID {
			continue
		}
		if !slices.ContainsFunc(m.After, func(id string) bool { return id != v.NextID }) {
			return m
		}
	}
	return nil
}

func (h handsHandler) face(m move) *face {
	f := &face{ID: m.ID, Means: m.Means, Kind: m.Kind, Verb: m.Verb, Cord: m.Length, Mark: m.Mark, From: m.Action.From, To: m.Action.To, Onward: m.Onward()}
	f.Small = []string{m.Switches(), m.Action.Also, m.Purpose, m.Why}
	if m.Knob != "" {
		// The hand goes to the knob; what it mutes is small.
		f.From = m.Knob
		f.Small = []string{m.Action.From, strings.TrimPrefix(strings.TrimPrefix(m.Action.Also, words.Put("at {knob}", "knob", m.Knob)), "; "), m.Why}
	}
	f.Small = slices.DeleteFunc(f.Small, func(text string) bool { return text == "" })
	return f
}

// pictured draws the bays of a move.
func (h handsHandler) pictured(f *face, m *move, plugs plugs) {
	for _, b := range h.page.Studio.Bays {
		if !slices.ContainsFunc(m.Jacks, func(s spot) bool { return strings.HasPrefix(s.Name, b.Name+"/") }) {
			continue
		}
		whole := drawer(h).bay(b, 1, b.Pairs(), "", plugs)
		whole.InHand = whole.line(m.joins)
		f.Along = append(f.Along, whole)
	}
	f.Close = drawer(h).closeUps(plugs, m)
}
