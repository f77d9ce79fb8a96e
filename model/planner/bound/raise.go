package bound

import (
	"context"

	"bayhand/model/graph"
	"bayhand/model/planner/problem"
)

// Raise is a number of plugs that every plan handles at least, often higher than that of Of in
// large rooms. Plugs is what a plan handles that is known; work how many looks at an arc it may
// take. It ends early where the context does, with what it has.
//
// It is a Lagrangian bound (Held and Karp 1971, from memory): the ways of each source are looked
// for by themselves, as if no other source was there, and what sources have to share gets a
// price, which rises while more of it is used than there is. A plan holds ways for every source,
// and no more of a scarce thing than there is: so the cheapest ways of all sources, less what all
// scarce things cost, are no more than its plugs, at whatever prices. Only how good the bound is
// depends on floating point. In most rounds the ways of a few sources are looked for anew, and
// those of the others stay (surrogate subgradients: Zhao, Luh and Wang 1999, from memory); a bound
// comes of the rounds in which all are. Known is the patch of that plan, or any other, to which
// prices are held (limits.holdTo); nil for prices of everything.
//
// A new cord costs two, and so does an old one that is in no plan; one that is made of the
// other by the move of an end saves two, once: so an old cord is a scarce thing as well. An
// old cord that could stay saves nothing, since that it goes costs as much; where it stands in the way of
// a normal by which a destination could have what it asks for, it costs two if it goes and is not moved. Sources and
// destinations that take leads cost nothing here, rooms with ganged crosspoints neither.
func Raise(ctx context.Context, p *problem.Problem, known *graph.Patch, plugs int, work int64) Raised {
	if p.Options.LeaveCords || len(p.Ganged) > 0 {
		return Raised{}
	}
	return raise(ctx, newFacts(p, known != nil), known, plugs, work)
}

// Raised is a bound by prices: Least plugs, and what plans may have beside it; no margins in large rooms, and
// where no bound was found.
type Raised struct {
	Least   int
	Margins *Margins
	ascent  *ascent
	prices  []int
	nets    []*network // of all sources, once there was a draft
}

func raise(ctx context.Context, f *facts, known *graph.Patch, plugs int, work int64) Raised {
	p, a := f.problem, newAscent(f)
	if known != nil {
		a.limits.holdTo(f, a.prices.things, *known)
	}
	c := newClimb(a.prices, a.limits, plugs*unit)
	for round := 0; c.best <= (plugs-1)*unit && ctx.Err() == nil; round++ {
		a.wake()
		turns, done := a.turns(), float64(a.looks())/float64(work)
		if round%(passes*turns) == 0 || turns == 1 || done >= 1 {
			turns = 1
		}
		value := a.value(round, turns)
		if turns == 1 {
			c.keep(value)
		}
		moved := c.step(value, a.used, done)
		if parted := a.part(); done >= 1 || turns == 1 && !moved && !parted {
			break
		}
		a.renew(c.fall)
	}
	if c.best < 0 {
		return Raised{}
	}
	r := Raised{Least: (c.best + unit - 1) / unit, ascent: a, prices: c.bestAt}
	if len(p.Jacks) <= mostForMargins {
		a.prices.set(func(i int) int { return c.bestAt[i] })
		r.Margins = newMargins(a, c.best, plugs*unit-c.best)
	}
	return r
}

// mostForMargins is up to how many jacks margins are worked out: what they hold grows with the
// square of the room, and in larger rooms the bound is too far from any plan.
const mostForMargins = 1500

// passes is how often each source is looked for until all are at once.
const passes = 4
