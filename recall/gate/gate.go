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
// give one back: shut it, see that nothing planned or plugged is on it, then release.
package gate

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"bayhand/model/house"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/scope"
	"bayhand/model/session"
	"bayhand/model/shared"
	"bayhand/model/studio"
	"bayhand/recall/border"
	"bayhand/recall/keep"
)

// Keeper is the keeper of the host's rooms.
type Keeper interface {
	keep.Room
	Shut(ctx context.Context, jacks []name.Point) error
}

// Config is what a gate needs. All but Now must be there.
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
}

// Gate is the room as commands and pages see it. Its methods may be called from
// anywhere; Run keeps it in step with the table.
type Gate struct {
	config Config
	host   house.Host
	keeper Keeper
	// turn lets one recall, or one look at what is needed, go at a time.
	turn sync.Mutex

	// mu guards the fields below.
	mu    sync.Mutex
	view  border.View
	notes []keep.Problem
}

// New puts a gate before a keeper. It is an error where the house has no such host.
func New(c Config, keeper Keeper) (*Gate, error) {
	host, is := c.House.Host(c.Host)
	if !is {
		return nil, fmt.Errorf("the file of the house has no host %s; it has %s", c.Host, strings.Join(c.House.Names(), ", "))
	}
	return &Gate{config: c, host: host, keeper: keeper}, nil
}

// Status is the room as it is held now.
func (g *Gate) Status(ctx context.Context) (keep.Status, error) { return g.keeper.Status(ctx) }

// Events gives the present status and then each new one.
func (g *Gate) Events(ctx context.Context) (<-chan keep.Status, error) { return g.keeper.Events(ctx) }

// Act does what somebody asks of the room. What a recall takes of shared lines is
// claimed first, all of it; where another room holds some, another way is looked for.
func (g *Gate) Act(ctx context.Context, act keep.Act) (keep.Answer, error) {
	switch {
	case act.Check() != nil:
		return g.keeper.Act(ctx, act)
	case act.Do == keep.ToPreview:
		return g.preview(ctx, act)
	case act.Do != keep.ToRecall:
		return g.keeper.Act(ctx, act)
	}
	g.turn.Lock()
	defer g.turn.Unlock()
	if err := g.prepare(ctx, act); err != nil {
		status, _ := g.keeper.Status(ctx)
		return keep.Answer{Status: status}, err
	}
	return g.keeper.Act(ctx, act)
}

// Problems are what is wrong between the rooms and the table.
func (g *Gate) Problems() []keep.Problem {
	g.mu.Lock()
	defer g.mu.Unlock()
	return slices.Clone(g.notes)
}

// View is the table as the gate saw it last.
func (g *Gate) View() border.View {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.view.Clone()
}

// mostTries is how often another way is looked for because somebody was faster. Each
// time one line less is free.
const mostTries = 8

// preview is the plan of a recall. It claims nothing, so the keeper is not asked for a
// plan with lines that are free: what it cannot do without them is planned here.
func (g *Gate) preview(ctx context.Context, act keep.Act) (keep.Answer, error) {
	answer, err := g.keeper.Act(ctx, act)
	if err != nil && !errors.Is(err, keep.ErrNotGiven) || err == nil && (answer.Plan == nil || answer.Plan.Given) {
		return answer, err
	}
	s, _, wrong := g.config.Studio()
	if wrong != nil {
		return answer, err
	}
	if p, way := g.way(ctx, act, s, shared.Of(s), g.View()); way == nil && p != nil && p.Given {
		answer.Plan = p
		return answer, nil
	}
	return answer, err
}

// prepare claims what a recall takes.
func (g *Gate) prepare(ctx context.Context, act keep.Act) error {
	s, digest, err := g.config.Studio()
	if err != nil {
		return nil // the keeper says what is wrong with it
	}
	lines := shared.Of(s)
	room, err := g.room(s, act)
	if err != nil {
		return err
	}
	for range mostTries {
		if g.View().Cut != nil {
			return nil // with the lines that are held
		}
		view, err := g.config.Border.View(ctx)
		g.saw(view)
		if errors.Is(err, border.ErrUnreached) {
			return nil
		}
		if err != nil {
			return refused(err)
		}
		p, err := g.way(ctx, act, s, lines, view)
		if err != nil || p == nil {
			return err
		}
		wanted := g.lacking(view, lines.Taken(patch.Patch(p.Target)))
		if len(wanted) > 0 {
			view, err = g.claim(ctx, act, room, digest, view, wanted)
		}
		switch {
		case errors.Is(err, border.ErrHeld), errors.Is(err, border.ErrLate):
			continue // somebody was faster: look again
		case errors.Is(err, border.ErrUnreached):
			return nil
		case err != nil:
			return refused(err)
		}
		g.saw(view)
		return g.shut(ctx, lines, view)
	}
	return refused(errors.New("others took the lines that it needs, each time that they were free; try again"))
}

// refused is an error of the table, as a person is told.
func refused(err error) error {
	return fmt.Errorf("%w: nothing was changed: %w", keep.ErrConflict, err)
}

// way is the plan of a recall to which all shared lines but those of others are open; nil
// where the keeper refuses it anyway.
func (g *Gate) way(ctx context.Context, act keep.Act, s *studio.Studio, lines shared.Lines, view border.View) (*plan.Plan, error) {
	status, err := g.keeper.Status(ctx)
	if err != nil {
		return nil, err
	}
	status.Shut = lines.Jacks(func(place string) bool {
		h, held := view.Table.Holds[border.Place(place)]
		return held && !g.own(h.Room)
	})
	preview, err := keep.NewPreview(s, status, act.Session, act.Options, g.config.Session)
	if err != nil {
		return nil, nil
	}
	p, err := preview.Plan(func(ask plan.Request) (*plan.Plan, error) { return g.config.Plan(ctx, ask) })
	if err == nil && !p.Given && !act.Options.Partly {
		return nil, g.without(act, p, lines, view)
	}
	if err != nil {
		return nil, nil
	}
	return p, nil
}

// without is the refusal of a session for which there is no way, with who holds the
// shared lines.
func (g *Gate) without(act keep.Act, p *plan.Plan, lines shared.Lines, view border.View) error {
	err := &keep.NotGivenError{Session: act.Session, Missing: p.Missing, Stopped: p.Stopped}
	var others []string
	for place, h := range view.Table.Holds {
		if !g.own(h.Room) {
			others = append(others, fmt.Sprintf("room %s holds %s for %s", h.Room, place, h.Session))
		}
	}
	if len(others) == 0 {
		return err
	}
	slices.Sort(others)
	return fmt.Errorf("%w. Of the lines that rooms share, %s", err, strings.Join(others, "; "))
}

// room is the one of this host that a session is in first. A session in a room of
// another host is recalled there.
func (g *Gate) room(s *studio.Studio, act keep.Act) (string, error) {
	wanted := g.config.Session(act.Session)
	if act.Session == keep.RestName || wanted == nil || len(s.Rooms) == 0 {
		return g.first(), nil
	}
	room := ""
	for _, r := range scope.RoomsOf(s, wanted) {
		if g.own(r) {
			room = max(room, r)
			continue
		}
		other, _ := g.config.House.Of(r)
		return "", fmt.Errorf("%w: %s is in room %s, which host %s keeps; recall it there%s", keep.ErrConflict, act.Session, r, other.Name, pageOf(other))
	}
	return room, nil
}

func pageOf(h house.Host) string {
	if h.Page == "" {
		return ""
	}
	return ": " + h.Page
}

func (g *Gate) own(room string) bool { return slices.Contains(g.host.Rooms, room) }

// first is the host's first room, or its own name where it keeps none.
func (g *Gate) first() string {
	if len(g.host.Rooms) == 0 {
		return g.host.Name
	}
	return g.host.Rooms[0]
}
