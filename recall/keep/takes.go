package keep

import (
	"fmt"
	"time"

	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// A file that changed is followed unasked. One that was half saved asks for much
// less than before, and so does one that somebody has emptied by mistake: what would
// take away more than half of what is held waits until a person recalls it. Until
// then the room is kept as it was read before.

// taking is a question to a person: what the files would take away.
type taking struct {
	// meaning is what the files ask for.
	meaning string
	// session is Main for the one that was recalled last; called is its name in words.
	session, called string
	// lost and held count cords, leads and outputs that listen to something.
	lost, held int
	since      time.Time
}

// about says whether the question is about what a session asks for.
func (t *taking) about(session, meaning string) bool {
	return t != nil && t.session == session && t.meaning == meaning
}

// follow makes the way to what the files of a session ask for now, and says whether it
// is gone: not where it takes too much, nor where there is none.
func (r replanner) follow(session, why string) (bool, error) {
	fresh, _ := r.planning().freshly()
	in := r.memory.Intent.with(session, fresh)
	in.PreviousInside = r.memory.Intent.StillInside()
	if in.meaningOf(session) == r.memory.Intent.meaningOf(session) {
		return false, nil
	}
	got, err := r.inquirer.way(asker{session: session}, in, session)
	if err != nil {
		return false, err
	}
	p := got.plan
	r.replans.taking = nil
	if lost, held := takes(got.question.ask.From, p); 2*lost > held && got.question.goneBy(p) {
		r.replans.taking = &taking{in.meaningOf(session), session, in.called(session), lost, held, r.at}
		text := phrase.Put("{change}; a person is asked first", "change", r.replans.taking.text())
		r.learn(r.memory, Event{Kind: Trouble, Text: text})
		return false, nil
	}
	text := "re-planned: the files of {session} changed"
	if why != "" {
		text = "re-planned: the files of {session} changed; {reason}"
	}
	text = phrase.Put(text, "session", in.called(session), "reason", why)
	r.save(r.adopted(in, got, false), Event{Kind: Replanned, Text: text})
	return true, nil
}

// takes is how many cords, leads and outputs that listen to something a plan leaves
// fewer than there are, and how many there are. An output that listens to something
// else and a cord that is elsewhere are not taken away.
func takes(from patch.Patch, p *plan.Plan) (lost, held int) {
	target := patch.Patch(p.Target)
	count := func(before, after int) {
		held += before
		lost += max(0, before-after)
	}
	count(len(from.Cords), len(target.Cords))
	count(len(from.Leads), len(target.Leads))
	count(listening(from), listening(target))
	return lost, held
}

// listening counts the outputs of a patch that listen to something.
func listening(p patch.Patch) int {
	outputs := map[string]bool{}
	for _, c := range p.Crosspoints {
		outputs[c.Output.String()] = true
	}
	return len(outputs)
}

func (t *taking) text() string {
	return fmt.Sprintf("the files of %s changed; following them would remove %d of %d cords and crosspoints", t.called, t.lost, t.held)
}

// takingProblems is the question, as long as nobody has answered it.
func (v view) takingProblems() []Problem {
	if v.k.replans.taking == nil {
		return nil
	}
	return []Problem{{Code: "takes-most", Severity: "warning", Since: v.k.replans.taking.since,
		Message:  phrase.Put("{text}. The room stays as it is until you recall it", "text", v.k.replans.taking.text()),
		Remedies: []Act{{Do: ToRecall, Session: v.k.replans.taking.recalls(v.k.memory.Intent), Options: v.k.memory.Intent.optionsOf(v.k.replans.taking.session)}}}}
}

// recalls is the name by which a person recalls the session that the question is about.
func (t *taking) recalls(in Intent) string {
	if t.session == main {
		return in.Session
	}
	return t.session
}
