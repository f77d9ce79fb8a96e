package keep

import (
	"fmt"
	"time"

	"bayhand/model/patch"
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
	session string
	// lost and held count cords, leads and outputs that listen to something.
	lost, held int
	since      time.Time
}

// about says whether the question is about what an intent asks for.
func (t *taking) about(in Intent) bool { return t != nil && t.meaning == in.Meaning }

// follow makes the way to what the files ask for now, and says whether it is gone:
// not where it takes too much, nor where there is none.
func (k *machine) follow(why string) bool {
	w := k.planning()
	in, _ := w.freshly()
	in.PreviousInside = k.memory.Intent.StillInside(k.studio)
	if in.Meaning == k.memory.Intent.Meaning {
		return false
	}
	p, ask, err := w.plan(in)
	if err != nil {
		k.planTrouble = k.problem("plan", "no way to %s could be made: %v", in.title(), err)
		return true
	}
	k.taking = nil
	if lost, held := takes(ask.From, p); 2*lost > held && (p.Given || in.Options.Partly) {
		k.taking = &taking{in.Meaning, in.Session, lost, held, k.at}
		text := k.taking.text(in) + "; a person is asked first"
		k.learn(k.memory, Event{Kind: Trouble, Text: text})
		return false
	}
	text := "the way was made anew: the files of " + in.title() + " ask for something else now"
	if why != "" {
		text += "; " + why
	}
	k.save(k.adopted(in, p, ask, false), Event{Kind: Replanned, Text: text})
	return true
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

func (t *taking) text(in Intent) string {
	return fmt.Sprintf("the files of %s ask for something else now, which would take away %d of %d cords and crosspoints", in.title(), t.lost, t.held)
}

// takingProblems is the question, as long as nobody has answered it.
func (v view) takingProblems() []Problem {
	if v.k.taking == nil {
		return nil
	}
	return []Problem{{Code: "takes-most", Severity: "warning", Since: v.k.taking.since,
		Message:  v.k.taking.text(v.k.memory.Intent) + "; the room is kept as it was until somebody recalls it",
		Remedies: []Act{{Do: ToRecall, Session: v.k.taking.session, Options: v.k.memory.Intent.Options}}}}
}
