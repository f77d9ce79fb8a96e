package gate

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"strings"

	"bayhand/model/phrase"
	"bayhand/model/shared"
	"bayhand/recall/border"
	"bayhand/recall/keep"
)

// attempt is an act that needs shared lines, from its first look at the table until the
// keeper has answered. Meanwhile what it means to take is reserved: the lines are held and
// nothing is planned on them yet, and they are not given back as needless.
type attempt struct {
	gate     *Gate
	act      keep.Act
	reserved []border.Place
	// missed are the lines that others hold and that the act would have needed, with who
	// holds them.
	missed []string
	// cut is since when the table did not answer the attempt, which may be reached again
	// by now; nil where it did.
	cut *border.Cut
}

// reserve keeps lines from being given back until the attempt ends.
func (a *attempt) reserve(places []border.Place) {
	a.gate.underway.reserve(places)
	a.reserved = append(a.reserved, places...)
}

// end lets go of what was reserved. What no plan took is given back by the next look.
func (a *attempt) end() {
	if len(a.reserved) == 0 {
		return
	}
	a.gate.underway.unreserve(a.reserved)
	select {
	case a.gate.again <- struct{}{}:
	default:
	}
}

// explained is the keeper's refusal with who holds what the act needed, or that nobody can
// be asked.
func (a *attempt) explained(err error) error {
	var not *keep.NotGivenError
	if !errors.As(err, &not) {
		return err
	}
	if cut := cmp.Or(a.cut, a.gate.View().Cut); cut != nil {
		return about(not, fmt.Sprintf("The table of the lines that rooms share is not reached since %s: none is given until it is", cut.Since.Local().Format("15:04")))
	}
	if len(a.missed) == 0 {
		return err
	}
	return about(not, heldWords(a.missed))
}

// about is a refusal with a sentence on the lines that rooms share.
func about(not *keep.NotGivenError, shared string) *keep.NotGivenError {
	told := *not
	told.Shared = shared
	return &told
}

func heldWords(held []string) string {
	return phrase.Put("Of the lines that rooms share, {held}", "held", strings.Join(held, "; "))
}

// mostTries is how often another way is looked for because somebody was faster. Each
// time one line less is free.
const mostTries = 8

// prepare claims what a recall takes. A recall that the lines suffice for which are held
// anyway does not ask the table: it goes as fast where that does not answer.
func (g *Gate) prepare(ctx context.Context, a *attempt) error {
	s, digest, err := g.config.Studio()
	if err != nil {
		return nil // the keeper says what is wrong with it
	}
	lines := shared.Of(s)
	room, err := g.room(s, a.act)
	if err != nil {
		return err
	}
	known := g.View()
	p, unknown := g.way(ctx, a.act, room, s, lines, known)
	if unknown == nil && p != nil && len(g.lacking(known, lines.Taken(toPatch(p)))) == 0 {
		if done, err := g.take(ctx, a, room, digest, lines, known, lines.Taken(toPatch(p))); done || err != nil {
			return err
		}
	}
	for range mostTries {
		view, reached, err := g.look(ctx)
		if err != nil {
			return err
		}
		if !reached {
			a.cut = cmp.Or(view.Cut, g.View().Cut)
			return g.alone(ctx, lines)
		}
		if !sameHolds(known, view) {
			p, unknown = g.way(ctx, a.act, room, s, lines, view)
			known = view
		}
		if unknown != nil || p == nil {
			return unknown
		}
		done, err := g.take(ctx, a, room, digest, lines, view, lines.Taken(toPatch(p)))
		if done || err != nil {
			return err
		}
	}
	return refused(errors.New("others took the lines that it needs, each time that they were free; try again"))
}

// prepareUndo claims what the earlier patch is on and was given back since. What others
// hold by now stays theirs, and the undo is tried without it.
func (g *Gate) prepareUndo(ctx context.Context, a *attempt) error {
	s, digest, err := g.config.Studio()
	if err != nil {
		return nil
	}
	lines, room := shared.Of(s), a.act.Options.Room
	if !g.own(room) {
		room = g.first()
	}
	for range mostTries {
		status, err := g.keeper.Status(ctx)
		earlier := status.Earlier(a.act.Options.Room)
		if err != nil || earlier == nil {
			return err
		}
		view, reached, err := g.look(ctx)
		if err != nil {
			return err
		}
		if !reached {
			a.cut = cmp.Or(view.Cut, g.View().Cut)
			return g.alone(ctx, lines)
		}
		var wanted []string
		a.missed = nil
		for _, place := range lines.Taken(*earlier) {
			if h, held := view.Table.Holds[border.Place(place)]; held && !g.own(h.Room) {
				a.missed = append(a.missed, heldBy(place, h))
				continue
			}
			wanted = append(wanted, place)
		}
		done, err := g.take(ctx, a, room, digest, lines, view, wanted)
		if done || err != nil {
			return err
		}
	}
	return nil
}

// sameHolds says whether the same rooms hold the same lines in two views.
func sameHolds(a, b border.View) bool {
	return maps.EqualFunc(a.Table.Holds, b.Table.Holds, func(x, y border.Hold) bool { return x.Room == y.Room })
}

func heldBy(place string, h border.Hold) string {
	return fmt.Sprintf("room %s holds %s for %s", h.Room, place, h.Session)
}

// alone opens all lines that are held, for a host that is cut off: it goes on with these.
func (g *Gate) alone(ctx context.Context, lines shared.Lines) error {
	g.turn.Lock()
	defer g.turn.Unlock()
	held := g.held(g.View())
	return g.keeper.Shut(ctx, lines.Jacks(func(place string) bool { return !held(place) }))
}

// look is the table as it is now, and whether it is reached.
func (g *Gate) look(ctx context.Context) (border.View, bool, error) {
	if g.View().Cut != nil {
		return g.View(), false, nil
	}
	view, err := g.config.Border.View(ctx)
	g.saw(view)
	switch {
	case errors.Is(err, border.ErrUnreached), err != nil && view.Cut != nil:
		return view, false, nil // also where servers answer that are not to be used
	case err != nil:
		return view, false, refused(err)
	}
	return view, true, nil
}

// take claims those of some lines that the host's rooms do not hold, reserves all of them,
// and opens them to the keeper. It is not done where somebody was faster.
func (g *Gate) take(ctx context.Context, a *attempt, room, digest string, lines shared.Lines, view border.View, wanted []string) (done bool, err error) {
	var all []border.Place
	for _, w := range wanted {
		all = append(all, border.Place(w))
	}
	a.reserve(all)
	if lacking := g.lacking(view, wanted); len(lacking) > 0 {
		if view, err = g.claim(ctx, a.act, room, digest, view, lacking); err == nil {
			g.saw(view)
		}
	}
	switch {
	case errors.Is(err, border.ErrHeld), errors.Is(err, border.ErrLate):
		return false, nil // somebody was faster: look again
	case errors.Is(err, border.ErrUnreached):
		a.cut = cmp.Or(view.Cut, g.View().Cut)
		return true, g.alone(ctx, lines)
	case err != nil:
		return false, refused(err)
	}
	g.turn.Lock()
	defer g.turn.Unlock()
	status, err := g.keeper.Status(ctx)
	if err != nil {
		return false, err
	}
	return true, g.open(ctx, lines, used(lines, status))
}

// refused is an error of the table, as a person is told.
func refused(err error) error {
	return keep.Refusal(keep.ErrConflict, err)
}
