package keep

import (
	"context"
	"reflect"
	"slices"
	"time"

	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// reread takes in the files after somebody may have changed them. A file that
// cannot be read changes nothing: the last that could be stays in force.
func (k *Keeper) reread(ctx context.Context) {
	k.take(ctx, k.config.Load(ctx, k.wanted()))
}

// wanted are the sessions whose files matter: what is intended, and more.
func (k *Keeper) wanted(more ...string) []string {
	var names []string
	in := k.room.memory.Intent
	all := append(more, in.Session)
	for _, h := range in.Others {
		all = append(all, h.Session)
	}
	for _, name := range all {
		if name != "" && name != RestName && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// take puts what the files say in force.
func (k *Keeper) take(ctx context.Context, f Files) {
	k.room.files = k.sinceBefore(f)
	if f.Studio != nil && !reflect.DeepEqual(f.Studio, k.room.studio) {
		k.room.studio = f.Studio
		k.matchHands(ctx)
		k.matchKnown()
	}
	k.takeSession()
}

// sinceBefore gives problems of the files that were there before their time.
func (k *Keeper) sinceBefore(f Files) Files {
	f.Problems = slices.Clone(f.Problems)
	for i, p := range f.Problems {
		if !p.Since.IsZero() {
			continue
		}
		f.Problems[i].Since = k.now()
		for _, had := range k.room.files.Problems {
			if had.Message == p.Message {
				f.Problems[i].Since = had.Since
			}
		}
	}
	return f
}

// matchHands lets go of devices that the studio has no more, and engages those
// that are new or hang on another link.
func (k *Keeper) matchHands(ctx context.Context) {
	var hands []*hand
	for _, m := range k.room.studio.Matrices {
		if m.Device == nil {
			continue
		}
		i := slices.IndexFunc(k.room.hands, func(h *hand) bool { return reflect.DeepEqual(h.matrix, m) })
		if i >= 0 {
			hands = append(hands, k.room.hands[i])
			continue
		}
		h := k.engage(ctx, m)
		hands = append(hands, h)
		k.hello(h)
	}
	for _, h := range k.room.hands {
		if !slices.Contains(hands, h) {
			h.end()
		}
	}
	k.room.hands = hands
}

// matchKnown assumes the rest patch for whatever nobody has said anything of.
func (k *Keeper) matchKnown() {
	m := k.room.memory
	fact := k.fact(Assumed)
	known := m.Known.clone()
	if !m.BayTold {
		bay := assume(k.room.studio.Rest, fact)
		if samePatch(bay.Patch(), bayOnly(m.Known.Patch())) {
			bay = m.Known
		}
		known.Cords, known.Leads, known.Dummies = bay.Cords, bay.Leads, bay.Dummies
	}
	known.fill(k.room.studio, fact)
	if !reflect.DeepEqual(known, m.Known) {
		m.Known = known
		k.commit(m)
	}
}

func bayOnly(p patch.Patch) patch.Patch {
	p.Crosspoints = nil
	return p
}

// takeSession follows the intended session's file, and asks for a new way where
// the file or the studio now means something else.
func (k *Keeper) takeSession() {
	m := k.room.memory
	if m.Intent.idle() || k.room.studio == nil {
		return
	}
	if m.Intent.freshen(k.room.files.Sessions) {
		k.room.unread = time.Time{}
	} else if k.room.unread.IsZero() {
		k.room.unread = k.now()
	}
	now := meaning(k.room.studio, m.Intent.together(k.room.studio))
	changed := now != m.Intent.Meaning
	had := k.room.memory.Intent
	if !changed && reflect.DeepEqual(m.Intent.Wanted, had.Wanted) && reflect.DeepEqual(m.Intent.Others, had.Others) {
		return
	}
	m.Intent.Meaning = now
	if k.commit(m) && changed {
		k.anew("the files of %s ask for something else now", m.Intent.title())
	}
}

// freshen takes the sessions that are held as they read now, those that can be
// read; false where one cannot.
func (in *Intent) freshen(sessions map[string]*session.Session) bool {
	all := true
	fresh := func(name string, had *session.Session) *session.Session {
		if now := sessions[name]; now != nil {
			return now
		}
		all = false
		return had
	}
	if in.Session != RestName && in.Session != "" {
		in.Wanted = fresh(in.Session, in.Wanted)
	}
	in.Others = slices.Clone(in.Others)
	for i, h := range in.Others {
		in.Others[i].Wanted = fresh(h.Session, h.Wanted)
	}
	return all
}

// tagged is the studio with the jacks that a person said to be faulty.
func (k *Keeper) tagged() *studio.Studio {
	if len(k.room.memory.Tags) == 0 {
		return k.room.studio
	}
	s := *k.room.studio
	s.Faulty = slices.Clone(s.Faulty)
	for _, t := range k.room.memory.Tags {
		if !slices.Contains(s.Faulty, t.Jack) {
			s.Faulty = append(s.Faulty, t.Jack)
		}
	}
	return &s
}

// present is the known patch as far as the studio has the places for it.
func (k *Keeper) present() patch.Patch { return k.fitting(k.room.memory.Known.Patch()) }

func samePatch(a, b patch.Patch) bool {
	a, b = a.Clone(), b.Clone()
	a.Sort()
	b.Sort()
	return slices.EqualFunc(a.Cords, b.Cords, patch.Cord.Same) && slices.Equal(a.Leads, b.Leads) &&
		slices.Equal(a.Dummies, b.Dummies) && slices.Equal(a.Crosspoints, b.Crosspoints)
}
