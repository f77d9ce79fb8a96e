package remote

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/drivers/program"
	"bayhand/model/phrase"
	"bayhand/recall/keep"
)

// carryOut carries requests out, one after the other.
func (r *Remote) carryOut(ctx context.Context, room Room) {
	for {
		select {
		case p := <-r.requests:
			r.request(ctx, room, p)
		case <-ctx.Done():
			return
		}
	}
}

// request recalls the session that has the program.
func (r *Remote) request(ctx context.Context, room Room, p program.Program) {
	now := r.config.Clock.Now()
	r.mu.Lock()
	tooFast := r.pace.tooFast(now)
	r.mu.Unlock()
	if tooFast {
		r.trouble(paceTrouble, "control-loop", fmt.Sprintf("%d requests came to the control port within %v, as from a loop of cables; it is not heeded before it has been quiet for %v", mostInARow, inARow, quiet))
		return
	}
	r.trouble(paceTrouble, "", "")
	session := r.sessionOf(p)
	if session == "" {
		return
	}
	got, err := room.Act(ctx, keep.Act{Do: keep.ToRecall, Session: session, By: "MIDI " + p.String()})
	switch {
	case ctx.Err() != nil:
	case err != nil:
		r.config.Say(fmt.Sprintf("%v asked for %s, and nothing was changed: %v", p, session, err))
	case got.Err() != nil:
		r.config.Say(fmt.Sprintf("%v recalled %s, and not all of it is carried out: %v", p, session, got.Err()))
	default:
		r.config.Say(fmt.Sprintf("%v recalled %s", p, session))
	}
}

const paceTrouble = "pace"

// sessionOf is the one session with the program; empty, and said, where there is
// none or several.
func (r *Remote) sessionOf(p program.Program) string {
	var names []string
	for name, s := range r.config.Files.Sessions() {
		if s.Program == p.Number && s.Bank == p.Bank {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	switch len(names) {
	case 1:
		return names[0]
	case 0:
		r.config.Say(phrase.Put(sessionOf(p.Bank), "program", p.String(), "number", strconv.Itoa(p.Number), "bank", strconv.Itoa(p.Bank)))
	default:
		r.config.Say(fmt.Sprintf("%v asks for %s at once; nothing was changed", p, strings.Join(names, " and ")))
	}
	return ""
}

// sessionOf says that no session has a program, and which bank it would have to say.
func sessionOf(bank int) string {
	if bank == 0 {
		return "{program} recalls nothing: no session has program: {number}"
	}
	return "{program} recalls nothing: no session has program: {number} and bank: {bank}"
}
