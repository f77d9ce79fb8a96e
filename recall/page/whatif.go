package page

import (
	"cmp"

	"bayhand/model/effect"
	"bayhand/model/hand"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/recall/words"
)

// verdict is what an act at the bay would do, before anybody does it. It follows from
// metal; nobody has measured it.
type verdict struct {
	// Do is the act that takes it: plug, move where a plug is in the first jack, or pull.
	Do string
	// Refused is why hands cannot do it; empty where they can.
	Refused string
	// Warns are what may do harm, worst first; Heard what each input would hear.
	Warns, Heard []string
}

// Meant is what somebody says who has done it.
func (v *verdict) Meant() string {
	if v.Do == "pull" {
		return "Report it unplugged"
	}
	return "Report it plugged"
}

// whatIf judges a cord between the two jacks that are asked about, or a plug that were
// out.
func (p *page) whatIf(now present, a asked) *verdict {
	v := &verdict{Do: "plug"}
	bay := hand.Bay{Studio: now.room.Studio(), Patch: now.patch}
	act := bay.Plug
	switch {
	case a.Out:
		v.Do, act = "pull", func(a, _ name.Point) ([]plan.Move, error) { return bay.Pull(a) }
	case hand.Holds(now.patch, a.From) != "":
		v.Do, act = "move", bay.Move
	}
	moves, err := act(a.From, a.To)
	if err != nil {
		v.Refused = p.words.Said(err.Error())
		return v
	}
	v.judge(p.words, now, moves)
	return v
}

func (v *verdict) judge(w *words.Words, now present, moves []plan.Move) {
	e, _ := effect.Of(now.room, cmp.Or(now.wanted, &session.Session{}), now.patch, hand.Apply(now.patch, moves...))
	v.Warns = w.Does(e)
	for _, c := range e.Changes {
		would := "nothing"
		if len(c.Would) > 0 {
			would = w.Points(c.Would)
		}
		text := "{sources} -> {destination}"
		if len(c.Hears) > 0 {
			text = "{sources} -> {destination}, instead of {before}"
		}
		v.Heard = append(v.Heard, words.Put(text, "sources", would, "destination", w.Point(c.Destination), "before", w.Points(c.Hears)))
	}
}
