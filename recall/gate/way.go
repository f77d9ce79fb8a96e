package gate

import (
	"context"
	"errors"
	"fmt"
	"hash/fnv"
	"slices"

	"bayhand/model/plan"
	"bayhand/model/shared"
	"bayhand/model/studio"
	"bayhand/recall/border"
	"bayhand/recall/keep"
)

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
	room, wrong := g.room(s, act)
	if wrong != nil {
		return answer, err
	}
	if p, way := g.way(ctx, act, room, s, shared.Of(s), g.View()); way == nil && p != nil && p.Given {
		answer.Plan = p
		return answer, nil
	}
	return answer, err
}

// way is the plan of a recall to which all shared lines but those of others are open; nil
// where the keeper refuses it anyway.
//
// Of free lines that do for each other a room begins at one that is drawn by its name:
// rooms that plan at the same time then mostly want other lines, where from the lowest
// all but one would have to plan again. Where the lines from there on do not suffice, all
// are open.
func (g *Gate) way(ctx context.Context, act keep.Act, room string, s *studio.Studio, lines shared.Lines, view border.View) (*plan.Plan, error) {
	passed := passedOver(lines.Alike(), room, func(place string) bool {
		_, held := view.Table.Holds[border.Place(place)]
		return !held
	})
	if len(passed) > 0 {
		p, err := g.planned(ctx, act, s, lines, view, passed)
		if err == nil && p != nil && p.Given && leavesOne(lines, passed, view, p) {
			return p, nil
		}
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
	}
	p, err := g.planned(ctx, act, s, lines, view, nil)
	if err == nil && p != nil && !p.Given && !act.Options.Partly {
		return nil, g.without(act, p, view)
	}
	return p, err
}

// planned is the plan with some free lines shut as well; nil where there is none.
func (g *Gate) planned(ctx context.Context, act keep.Act, s *studio.Studio, lines shared.Lines, view border.View, passed []string) (*plan.Plan, error) {
	status, err := g.keeper.Status(ctx)
	if err != nil {
		return nil, err
	}
	status.Shut = lines.Jacks(func(place string) bool {
		h, held := view.Table.Holds[border.Place(place)]
		return held && !g.own(h.Room) || slices.Contains(passed, place)
	})
	preview, err := keep.NewPreview(s, status, act.Session, act.Options, g.config.Session)
	if err != nil {
		return nil, nil
	}
	p, err := preview.Plan(func(ask plan.Request) (*plan.Plan, error) { return g.config.Plan(ctx, ask) })
	if err != nil {
		return nil, nil
	}
	return p, nil
}

// passedOver are the free lines before the one at which a room begins, of each group of
// lines that do for each other.
func passedOver(alike [][]string, room string, free func(place string) bool) []string {
	var passed []string
	for _, group := range alike {
		open := slices.DeleteFunc(slices.Clone(group), func(place string) bool { return !free(place) })
		if len(open) < 2 {
			continue
		}
		draw := fnv.New64a()
		fmt.Fprintf(draw, "%s\n%s", room, group[0])
		passed = append(passed, open[:draw.Sum64()%uint64(len(open))]...)
	}
	return passed
}

// leavesOne says whether a plan leaves a free line of each group from which some were
// passed over: then more of them would have made it no better.
func leavesOne(lines shared.Lines, passed []string, view border.View, p *plan.Plan) bool {
	taken := lines.Taken(toPatch(p))
	for _, group := range lines.Alike() {
		if !slices.ContainsFunc(group, func(place string) bool { return slices.Contains(passed, place) }) {
			continue
		}
		if !slices.ContainsFunc(group, func(place string) bool {
			_, held := view.Table.Holds[border.Place(place)]
			return !held && !slices.Contains(passed, place) && !slices.Contains(taken, place)
		}) {
			return false
		}
	}
	return true
}

// without is the refusal of a session for which there is no way, with who holds the
// shared lines.
func (g *Gate) without(act keep.Act, p *plan.Plan, view border.View) error {
	err := &keep.NotGivenError{Session: act.Session, Missing: p.Missing, Stopped: p.Stopped}
	var others []string
	for place, h := range view.Table.Holds {
		if !g.own(h.Room) {
			others = append(others, heldBy(string(place), h))
		}
	}
	if len(others) == 0 {
		return err
	}
	slices.Sort(others)
	return about(err, heldWords(others))
}
