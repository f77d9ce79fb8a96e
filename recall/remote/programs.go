package remote

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"bayhand/drivers/program"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// After sends the programs of gear of a recall that they were not sent for yet,
// once its crosspoints are switched; those of a unit that is away are not sent. What waits for a person does not hold them
// up; a device that does not answer, or refuses, does.
func (r *Remote) After(status keep.Status) {
	if !switched(status) {
		return
	}
	r.mu.Lock()
	due := status.Recall > r.recall
	r.recall = max(r.recall, status.Recall)
	r.mu.Unlock()
	if !due {
		return
	}
	if room, wanted := r.config.Files.Studio(), r.config.Files.Session(status.Session); room != nil && wanted != nil {
		r.sendAll(room, wanted)
	}
}

// switched says whether no device has anything left to do that it could do now.
func switched(status keep.Status) bool {
	if status.Phase != keep.Given && status.Phase != keep.Waiting {
		return false
	}
	for _, step := range status.Left {
		driven := slices.ContainsFunc(status.Matrices, func(m keep.MatrixStatus) bool { return m.Name == step.By && m.Driven })
		waits := slices.ContainsFunc(step.After, func(id string) bool {
			return !slices.ContainsFunc(status.Done, func(d keep.DoneStep) bool { return d.ID == id })
		})
		if driven && !waits {
			return false
		}
	}
	return true
}

func (r *Remote) sendAll(s *studio.Studio, wanted *session.Session) {
	gear := slices.Concat(s.Gear, wanted.Guests)
	for _, p := range wanted.Programs {
		i := slices.IndexFunc(gear, func(g studio.Gear) bool { return g.Name == p.Gear })
		if i < 0 || gear[i].MIDI == nil {
			continue // the reader has said so
		}
		if standIn, away := standsIn(wanted, p.Gear); away {
			r.trouble(p.Gear, "", "") // nothing of it is to be set by hand any more
			r.config.Say(fmt.Sprintf("program %d of %s is not sent: it is away, and %s stands in for it", p.Number, p.Gear, standIn))
			continue
		}
		r.send(gear[i], p.Number)
	}
}

// standsIn is the gear that stands in for a unit, where that is away. Its programs
// are not those of the unit.
func standsIn(s *session.Session, gear string) (standIn string, away bool) {
	i := slices.IndexFunc(s.Substitutes, func(u session.Substitute) bool { return u.Away == gear })
	if i < 0 {
		return "", false
	}
	return s.Substitutes[i].StandIn, true
}

func (r *Remote) send(g studio.Gear, number int) {
	p := program.Program{Channel: g.MIDI.Channel, Bank: program.NoBank, Number: number}
	r.mu.Lock()
	r.echoes.add(p, r.config.Clock.Now()) // it may come back before Send does
	r.mu.Unlock()
	err := r.config.Ports.Send(g.MIDI.Port, p)
	r.mu.Lock()
	r.echoes.add(p, r.config.Clock.Now())
	r.mu.Unlock()
	called := phrase.Put("program {number} of {gear}", "number", strconv.Itoa(number), "gear", g.Name)
	if g.MIDI.First != 0 {
		called = phrase.Put("program {number} of {gear} ({panel} on its panel)", "number", strconv.Itoa(number), "gear", g.Name, "panel", strconv.Itoa(g.PanelNumber(number)))
	}
	if err != nil {
		r.trouble(g.Name, "program-unsent", phrase.Put("{program} could not be sent to {port}: {reason}. Set it by hand", "program", called, "port", g.MIDI.Port, "reason", err.Error()))
		return
	}
	r.trouble(g.Name, "", "")
	r.config.Say(phrase.Put("{program}: sent, not confirmed; it cannot be read back", "program", called))
}

func sortedProblems(all map[string]keep.Problem) []keep.Problem {
	return slices.SortedFunc(maps.Values(all), func(a, b keep.Problem) int {
		return cmp.Or(a.Since.Compare(b.Since), cmp.Compare(a.Message, b.Message))
	})
}
