// Package gate keeps the rooms of one host among those of a house: before a session is
// recalled it claims what the plan takes of the lines that rooms share, and what is
// needed no more it gives back.
//
// Vocabulary: the border is the table of who holds which shared line (package border); a
// line is shut while these rooms do not hold it, and the keeper plans around it. So no
// plan is ever given that waits for a claim, whatever the plan is made for: a recall, a
// file that was saved, a cord that turned up. A host that is cut off from the table goes
// on with the lines that its rooms hold.
//
// The order is always the same. To take a line: claim, then open it to the keeper. To
// give one back: shut it, see that nothing planned or plugged is on it, note that it is on
// its way back, then release. From the note on it is not held, whatever the table is known
// to say, until it is claimed anew: an answer that is lost or late leaves no plan on a line
// that anybody may have.
package gate

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"bayhand/model/house"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/border"
	"bayhand/recall/keep"
)

// Keeper is the keeper of the host's rooms.
type Keeper interface {
	keep.Room
	Shut(ctx context.Context, jacks []name.Point) error
}

// Config is what a gate needs.
type Config struct {
	House  house.House
	Host   string
	Border border.Border
	// Studio is the newest that could be read, with what tells it from others: the same
	// for the same studio on every host.
	Studio func() (*studio.Studio, string, error)
	// Session is one by its name; nil where it cannot be read.
	Session func(name string) *session.Session
	Plan    func(ctx context.Context, ask plan.Request) (*plan.Plan, error)
	Now     func() time.Time
	// Machine is the name of this machine, for persons; Changed is called when another
	// matrix may be driven here than before, Told when other hosts told something else than
	// before, or nothing for long. All may be left out.
	Machine       string
	Changed, Told func()
	// Retell is how often the others are told how the rooms are though nothing changed; 0
	// means 30 s. All hosts take the same.
	Retell time.Duration
	// Memo is where a table that servers keep is written down, also by Memo.Follow from then on;
	// nil where this host keeps it.
	// Returning are the lines that were on their way back to it when the process before ended.
	Memo      *Memo
	Returning []border.Place
}

// Gate is the room as commands and pages see it. Its methods may be called from
// anywhere; Run keeps it in step with the table.
type Gate struct {
	config   Config
	host     house.Host
	keeper   Keeper
	versions *versions
	// neighbours are the rooms of all hosts, as they told.
	neighbours *Neighbours
	underway   *underway
	// takings are of reconcile alone.
	takings takings
	// turn lets one change of what is shut, or one look at what is needed, go at a time.
	turn sync.Mutex
	// again asks Run for one more look at what is needed.
	again chan struct{}

	// mu guards the fields below.
	mu    sync.Mutex
	view  border.View
	notes []keep.Problem
	// astray are the lines that are plugged here and held by rooms of other hosts.
	astray []border.Place
}

// New puts a gate before a keeper. It is an error where the house has no such host.
func New(c Config, keeper Keeper) (*Gate, error) {
	host, is := c.House.Host(c.Host)
	if !is {
		return nil, fmt.Errorf("the file of the house has no host %s; it has %s", c.Host, strings.Join(c.House.Names(), ", "))
	}
	if c.Retell == 0 {
		c.Retell = usualRetell
	}
	for _, call := range []*func(){&c.Changed, &c.Told} {
		if *call == nil {
			*call = func() {}
		}
	}
	g := &Gate{config: c, host: host, keeper: keeper, versions: newVersions(c.House, host), neighbours: newNeighbours(c, host), again: make(chan struct{}, 1),
		underway: newUnderway(c.Returning)}
	g.takings = takings{own: g.own, heeded: map[string]border.Taking{}}
	if c.Memo != nil {
		c.Memo.known = func(t border.Table) Known { return g.underway.known(t, g.own) }
	}
	return g, nil
}

// Status is the room as it is held now.
func (g *Gate) Status(ctx context.Context) (keep.Status, error) { return g.keeper.Status(ctx) }

// Events gives the present status and then each new one.
func (g *Gate) Events(ctx context.Context) (<-chan keep.Status, error) { return g.keeper.Events(ctx) }

// Act does what somebody asks of the room. What a recall takes of shared lines is
// claimed first, all of it; where another room holds some, another way is looked for. An
// undo claims again what was given back since.
func (g *Gate) Act(ctx context.Context, act keep.Act) (keep.Answer, error) {
	prepare := g.prepare
	switch {
	case act.Check() != nil:
		return g.keeper.Act(ctx, act)
	case act.Do == keep.ToPreview:
		return g.preview(ctx, act)
	case act.Do == keep.ToUndo:
		prepare = g.prepareUndo
	case act.Do != keep.ToRecall:
		if err := g.versions.ofOthers(act, g.config.Studio); err != nil {
			status, _ := g.keeper.Status(ctx)
			return keep.Answer{Status: status}, err
		}
		return g.keeper.Act(ctx, act)
	}
	a := &attempt{gate: g, act: act}
	defer a.end()
	if err := prepare(ctx, a); err != nil {
		status, _ := g.keeper.Status(ctx)
		return keep.Answer{Status: status}, err
	}
	answer, err := g.keeper.Act(ctx, act)
	return answer, a.explained(err)
}

// Problems are what is wrong between the rooms and the table.
func (g *Gate) Problems() []keep.Problem {
	g.mu.Lock()
	defer g.mu.Unlock()
	return slices.Clone(g.notes)
}

// Neighbours are the rooms of the house as their hosts told last.
func (g *Gate) Neighbours() *Neighbours { return g.neighbours }

// View is the table as the gate saw it last.
func (g *Gate) View() border.View {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.view.Clone()
}
