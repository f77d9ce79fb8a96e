package keep

import (
	"fmt"
	"time"

	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// What only a person can know may have changed while nobody kept the room. So
// after a start it is asked once, in one list, with what was known last as what is
// taken to be so: a person says what is otherwise, and then that the rest is still
// as it is known.

// leftAlone is the fact that nobody kept the room before.
type leftAlone struct{}

// happened notes that a person is to be asked, where there is anything to ask.
func (leftAlone) happened(k *machine) {
	m := k.memory
	if !k.settings.asks || !m.BayTold || len(m.plugged()) == 0 {
		return
	}
	if m.Asked.IsZero() {
		m.Asked = k.at
	}
	m.unsure(true)
	k.learn(m)
}

// still takes a person's word that the bay is as it is known. Where nobody asked,
// saying so does no harm.
func (t *telling) still() {
	if t.m.Asked.IsZero() {
		return
	}
	t.m.Asked = time.Time{}
	t.m.unsure(false)
	t.says(Event{Kind: PersonDid, Text: "the bay is unchanged"})
}

// plugged is all that only a person can know, in words.
func (m Memory) plugged() []string {
	var all []string
	for _, c := range m.Known.Cords {
		all = append(all, joined(c.Ends()))
	}
	for _, l := range m.Known.Leads {
		all = append(all, l.Port.String()+" - "+l.Jack.String())
	}
	for _, d := range m.Known.Dummies {
		all = append(all, phrase.Put("a dummy plug in {jack}", "jack", d.Jack.String()))
	}
	for _, h := range m.Silenced {
		all = append(all, down(h))
	}
	return all
}

// down says what is off at a port.
func down(h Silenced) string {
	if h.Do == plan.PhantomOff {
		return phrase.Put("phantom off at {port}", "port", h.Port.String())
	}
	return phrase.Put("{port} muted", "port", h.Port.String())
}

// stillProblems is the question, as long as nobody has answered it.
func (v view) stillProblems() []Problem {
	m := v.k.memory
	if m.Asked.IsZero() {
		return nil
	}
	in := m.plugged()
	if len(in) == 0 {
		in = []string{"no plug in"}
	}
	return []Problem{{Code: "bay-asked", Severity: "advice", Since: m.Asked, Remedies: []Act{{Do: StillSo}},
		Message: fmt.Sprintf("bayhand was off for a while. Is the bay still: %s? Report what changed, then that the rest is unchanged.",
			some(in))}}
}
