package keep

import (
	"context"
	"reflect"
	"slices"

	"bayhand/model/heard"
	ordering "bayhand/model/order"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Nobody is asked to bring back what nothing plays at. Whether something does, a patch
// says that is heard: with a plan, in the scope of that plan, and once a session is given,
// in all of the studio. A large studio takes longer to be heard than a tick may wait, so
// both are done beside the loop.

// hearing is a patch that was heard.
type hearing struct {
	studio *studio.Studio
	state  *heard.State
}

// hearPatch hears a patch, in time linear in the studio.
func hearPatch(s *studio.Studio, wanted *session.Session, p patch.Patch) hearing {
	room := heard.NewRoom(s).For(wanted, p)
	return hearing{room.Studio(), room.Hear(p)}
}

// staysOff says whether nobody is asked to bring something back: phantom power where no
// microphone is, and loudspeakers where nothing plays.
func (h hearing) staysOff(one Silenced) bool {
	if one.Do == plan.PhantomOff {
		return !ordering.MayPower(h.studio, h.state.Net(one.Port))
	}
	return !slices.ContainsFunc(h.studio.Gear, func(g studio.Gear) bool {
		return g.Name == one.Port.Owner && slices.ContainsFunc(g.Ports, func(q studio.Port) bool {
			return q.Direction == studio.Input && len(h.state.Hears(q.Point)) > 0
		})
	})
}

// off is what stays off with a plan, of what is silenced in its scope.
func (w answering) off(p *plan.Plan, q question) (stay []Silenced, err error) {
	all := q.silenced(w.memory)
	if len(all) == 0 || !q.goneBy(p) {
		return nil, nil
	}
	err = w.inTurn(func() {
		h := hearPatch(q.ask.Studio, q.ask.Session, patch.Patch(p.Target))
		stay = slices.DeleteFunc(all, func(one Silenced) bool { return !h.staysOff(one) })
	})
	return stay, err
}

// silenced is what of that is in the scope of a question.
func (q question) silenced(m Memory) []Silenced {
	return slices.DeleteFunc(slices.Clone(m.Silenced), func(h Silenced) bool { return !q.has(h.Port) })
}

// settling is what of the silenced stays off in a room that gives what is intended.
type settling struct {
	number int
	of     settles
	// heard is true once stay is the answer.
	heard bool
	stay  []Silenced
}

// settles is what that depends on. Nobody changes any of it.
type settles struct {
	number int
	studio *studio.Studio
	wanted *session.Session
	in     patch.Patch
	of     []Silenced
}

// open says whether an answer is awaited.
func (s settling) open() bool { return s.number > 0 && !s.heard }

// settled is what stays silenced in a room that is given: phantom power that stays off is
// forgotten, since it is as it should be, and loudspeakers stay known to be down. It is
// false as long as that has to be heard.
func (k *machine) settled() ([]Silenced, bool) {
	m := k.memory
	if len(m.Silenced) == 0 {
		return nil, true
	}
	now := settles{k.settling.number, withGuests(k.studio, m.Here(k.studio)), m.Intent.merged(k.studio), m.Known.Patch(), m.Silenced}
	if k.settling.heard && reflect.DeepEqual(k.settling.of, now) {
		return k.settling.stay, true
	}
	now.number++
	k.settling = settling{number: now.number, of: now}
	k.out.settles = &now
	return nil, false
}

func (s settles) hear() (stay []Silenced) {
	heard := hearPatch(s.studio, s.wanted, s.in)
	for _, h := range s.of {
		h.Unheard = heard.staysOff(h)
		if h.Do == plan.Mute || !h.Unheard {
			stay = append(stay, h)
		}
	}
	return stay
}

// wasHeard is the fact that the answer is there.
type wasHeard struct {
	number int
	stay   []Silenced
}

func (f wasHeard) happened(k *machine) {
	if f.number == k.settling.number {
		k.settling.heard, k.settling.stay = true, f.stay
	}
}

// hear hears the room beside the loop.
func (k *Keeper) hear(ctx context.Context, s settles) {
	k.running.Go(func() {
		var stay []Silenced
		if inTurn(ctx, k.turns.cut, func() { stay = s.hear() }) != nil {
			return
		}
		select {
		case k.facts <- wasHeard{s.number, stay}:
		case <-ctx.Done():
		}
	})
}
