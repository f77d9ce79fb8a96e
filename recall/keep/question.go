package keep

import (
	"slices"

	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Preview is a recall that nobody asked for yet: what the planner is to be asked, and
// what its answer has to pass.
type Preview struct {
	Request plan.Request
	// Whole is what the room is and is asked for, in all its parts: what goes on in other
	// rooms as well.
	Whole    plan.Request
	planning planning
	intent   Intent
}

// NewPreview is the recall of a session in a room that stands as a status says: with
// the sessions that other rooms are in, what the software may still carry, the guests
// that are here and the jacks that are tagged. So who only wants to know gets the plan
// that a recall would go. Sessions are read by their names; nil is one that cannot be
// read. It is an error where the recall would be refused before any way is looked for.
func NewPreview(s *studio.Studio, status Status, called string, options RecallOptions, read func(string) *session.Session) (Preview, error) {
	w := planning{studio: s, known: newSite(s), files: Files{Sessions: map[string]*session.Session{called: read(called)}}}
	if called == RestName {
		w.files.Sessions = nil
	}
	held, err := heldIn(status, read)
	if err != nil {
		return Preview{}, err
	}
	w.memory = Memory{Known: status.Known, Tags: status.Tags, Guests: status.Guests, Silenced: status.Silenced, WriteOnly: status.WriteOnly, Shut: status.Shut, Intent: held}
	in, err := w.intend(called, options)
	if err != nil {
		return Preview{}, err
	}
	looks := answering{planning: w, inTurn: withoutWaiting}
	q, err := looks.question(in, w.main(in))
	if err != nil {
		return Preview{}, err
	}
	whole, err := looks.question(in, part{wanted: in.Wanted, options: in.Options})
	return Preview{q.ask, whole.ask, w, in}, err
}

// Plan is the way that the recall would go, by a planner that makes plans. Where a
// recall would be refused since its way goes through a room that holds another session,
// that is the error.
func (p Preview) Plan(make func(plan.Request) (*plan.Plan, error)) (*plan.Plan, error) {
	w := answering{p.planning, func(q question) (*plan.Plan, error) { return make(q.ask) }, withoutWaiting}
	got, err := w.way(p.intent, main, true)
	if err != nil {
		return nil, err
	}
	in := p.intent.without(got.ends)
	return p.planning.wouldGo(in, got.numbered(in, p.planning.memory.Intent)), got.crossing
}

// withoutWaiting does something without waiting for a turn.
func withoutWaiting(do func()) error {
	do()
	return nil
}

// heldIn is what a room is in by its status, as far as the next recall depends on it.
func heldIn(status Status, read func(string) *session.Session) (Intent, error) {
	in := Intent{Session: status.Session, Recall: status.Recall, Plan: status.Plan, Left: status.Left, Done: status.Done}
	if in.Session != "" && in.Session != RestName {
		in.Wanted = read(in.Session)
	}
	if in.Wanted != nil || len(status.Inside) > 0 {
		in.PreviousInside = status.Inside
	}
	for _, r := range status.Rooms {
		i := slices.IndexFunc(in.Others, func(h Held) bool { return h.Session == r.Session })
		switch {
		case r.Session == "":
		case r.Session == in.Session:
			in.Options.LeaveCords = r.LeaveCords
		case i >= 0:
			in.Others[i].Rooms = append(in.Others[i].Rooms, r.Room)
		default:
			h := Held{Session: r.Session, Options: RecallOptions{LeaveCords: r.LeaveCords}, Wanted: read(r.Session), Rooms: []string{r.Room}}
			if h.Wanted == nil {
				return in, tell(ErrUnknownSession, "the file of %s, in use in %s, cannot be read: nothing can be planned beside it", h.Session, r.Room)
			}
			in.Others = append(in.Others, h)
		}
	}
	return in, nil
}
