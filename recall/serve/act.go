package serve

import (
	"fmt"
	"net/http"
	"strings"
	"unicode"

	"bayhand/model/phrase"
	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// act is the one door for what is asked of the room: it takes the act of whoever
// may do it, and answers with what came of it.
func (h api) act(w http.ResponseWriter, r *http.Request) {
	var act keep.Act
	if err := read(w, r, &act); err != nil {
		refuseBody(w, err)
		return
	}
	if seen, is := w.(*noted); is {
		seen.do = string(act.Do)
	}
	g := guard(h).guest(r)
	if needs := roleOf(act.Do); g.role < needs {
		refuse(w, http.StatusForbidden, "role", phrase.Put("this token may {role}; {act} needs one that may {other}", "role", g.role.String(), "act", string(act.Do), "other", needs.String()))
		return
	}
	if !g.own && !plain(act.Session) {
		fail(w, errPath, keep.Status{})
		return
	}
	act.By = g.who
	web.Unhurried(w)
	got, err := h.server.room.Act(r.Context(), act)
	if err != nil {
		fail(w, err, got.Status)
		return
	}
	answer(w, http.StatusOK, got)
}

// roleOf is what a deed needs. One that there is not needs the least: that it is
// none is said to whoever may ask anything at all.
func roleOf(do keep.Deed) Role {
	if kind, ok := keep.ActKindOf(do); ok && !kind.ByHand {
		return Recall
	}
	return Tick
}

// errPath is for all but this machine's commands, who show by the token of the
// entry that they may read the folder of sessions anyhow.
var errPath = fmt.Errorf("%w: a session is called by its name here, and not by a path", keep.ErrUsage)

// plain says whether a session is called by a name that cannot lead out of the
// folder of sessions.
func plain(session string) bool {
	return !strings.ContainsAny(session, `/\:`) && !strings.HasPrefix(session, ".") && !strings.HasSuffix(session, ".yaml") &&
		!strings.ContainsFunc(session, unicode.IsControl)
}
