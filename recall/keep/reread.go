package keep

import (
	"reflect"
	"slices"
	"time"

	"bayhand/model/patch"
	"bayhand/model/session"
)

// sessions are those whose files matter to what is intended, and more.
func (in Intent) sessions(more ...string) []string {
	var names []string
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

// takeFiles puts what the files say in force, with what is known of the studio where that
// is another than before. A file that cannot be read changes nothing: the last that could
// be stays in force.
func (k *machine) takeFiles(f Files, at *site) {
	k.files = f.since(k.files.Problems, k.at)
	if at != nil {
		k.studio, k.site = f.Studio, at
		k.matchDevices()
		k.matchKnown()
	}
	k.replanner().takeSession()
}

// matchDevices lets go of devices that the studio has no more, and polls those
// that are new or hang on another link.
func (k *machine) matchDevices() {
	had := k.devices.all
	k.devices.all = nil
	for _, m := range k.studio.Matrices {
		if m.Device == nil {
			continue
		}
		i := slices.IndexFunc(had, func(h device) bool { return reflect.DeepEqual(h.matrix, m) })
		if i >= 0 {
			k.devices.all = append(k.devices.all, had[i])
			continue
		}
		k.devices.ever++
		k.devices.all = append(k.devices.all, device{number: k.devices.ever, matrix: m, problem: NotChecked, since: k.at})
		k.exchange(&k.devices.all[len(k.devices.all)-1]).poll()
	}
}

// matchKnown assumes the rest patch for whatever nobody has said anything of.
func (l *ledger) matchKnown() {
	m := l.memory
	fact := l.fact(Assumed)
	known := m.Known.clone()
	if !m.BayTold {
		bay := assume(l.studio.Rest, fact)
		if samePatch(bay.Patch(), bayOnly(m.Known.Patch())) {
			bay = m.Known
		}
		known.Cords, known.Leads, known.Dummies = bay.Cords, bay.Leads, bay.Dummies
	}
	known.fill(l.studio, fact)
	if !reflect.DeepEqual(known, m.Known) {
		m.Known = known
		l.learn(m)
	}
}

func bayOnly(p patch.Patch) patch.Patch {
	p.Crosspoints = nil
	return p
}

// takeSession follows the intended session's file. Where the file or the studio now
// means something else, a new way is asked for, and until then the session is kept
// as it was read last.
func (r replanner) takeSession() {
	in := r.memory.Intent
	if in.Idle() || r.studio == nil {
		return
	}
	fresh, all := r.planning().freshly()
	if all {
		r.replans.unread = time.Time{}
	} else if r.replans.unread.IsZero() {
		r.replans.unread = r.at
	}
	stale, were := changed(in, fresh), r.replans.reread
	r.replans.reread = slices.DeleteFunc(slices.Clone(stale), func(session string) bool {
		return r.replans.taking.about(session, fresh.meaningOf(session))
	})
	for _, session := range were {
		if !slices.Contains(r.replans.pending(), session) {
			r.inquirer.forget(asker{session: session})
		}
	}
	if len(stale) > 0 {
		return
	}
	r.replans.taking = nil
	if !reflect.DeepEqual(fresh.Wanted, in.Wanted) || !reflect.DeepEqual(fresh.Others, in.Others) {
		m := r.memory
		m.Intent = fresh
		r.learn(m)
	}
}

// changed are the sessions whose files mean something else in a fresh reading.
func changed(in, fresh Intent) []string {
	var stale []string
	for _, session := range in.parts() {
		if fresh.meaningOf(session) != in.meaningOf(session) {
			stale = append(stale, session)
		}
	}
	return stale
}

// freshly is what is intended as the files have it now; false where one of them
// cannot be read.
func (w planning) freshly() (Intent, bool) {
	return w.memory.Intent.readAgain(w.files.Sessions, w.site())
}

// readAgain is the intent with its sessions as their files have them, and what these mean in
// a studio; false where one cannot be read.
func (in Intent) readAgain(sessions map[string]*session.Session, at *site) (Intent, bool) {
	all := in.freshen(sessions)
	in.Meaning = at.meaning(in.Wanted)
	for i, h := range in.Others {
		in.Others[i].Meaning = at.meaning(h.Wanted)
	}
	return in, all
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

func samePatch(a, b patch.Patch) bool {
	a, b = a.Clone(), b.Clone()
	a.Sort()
	b.Sort()
	return slices.EqualFunc(a.Cords, b.Cords, patch.Cord.Same) && slices.Equal(a.Leads, b.Leads) &&
		slices.Equal(a.Dummies, b.Dummies) && slices.Equal(a.Crosspoints, b.Crosspoints)
}

// Otherwise says whether files ask for something else than what a memory intends, so that it
// would be planned anew. It takes as long as what is known of a studio takes to work out: whoever
// reads files asks it, beside the loop.
func Otherwise(m Memory, f Files) bool {
	if m.Intent.Idle() || f.Studio == nil {
		return false
	}
	fresh, _ := m.Intent.readAgain(f.Sessions, newSite(f.Studio))
	return len(changed(m.Intent, fresh)) > 0
}
