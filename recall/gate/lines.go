package gate

import (
	"context"
	"maps"
	"slices"

	"bayhand/model/house"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/shared"
	"bayhand/model/studio"
	"bayhand/recall/border"
	"bayhand/recall/keep"
)

func toPatch(p *plan.Plan) patch.Patch {
	if p == nil {
		return patch.Patch{}
	}
	return patch.Patch(p.Target)
}

// held says of each line whether a room of the host holds it, and it is not on its way back.
func (g *Gate) held(view border.View) func(place string) bool {
	return func(place string) bool {
		h, is := view.Table.Holds[border.Place(place)]
		return is && g.own(h.Room) && !g.underway.isReturning(border.Place(place))
	}
}

// lacking are those of some lines that none of the host's rooms holds.
func (g *Gate) lacking(view border.View, lines []string) []border.Place {
	held := g.held(view)
	var all []border.Place
	for _, line := range lines {
		if !held(line) {
			all = append(all, border.Place(line))
		}
	}
	return all
}

// claim takes lines for a room, as the next act of that; what another room of the host has
// on its way back, for that one.
func (g *Gate) claim(ctx context.Context, act keep.Act, room, digest string, view border.View, places []border.Place) (border.View, error) {
	status, err := g.keeper.Status(ctx)
	if err != nil {
		return view, err
	}
	if g.versions.twice() {
		return view, errTwice
	}
	files, house := g.versions.digests(digest)
	claims := claimsOf(view, g.own, room, places)
	for _, room := range slices.Sorted(maps.Keys(claims)) {
		view, err = g.config.Border.Act(ctx, border.Act{
			Do: border.ToClaim, Room: room, Number: view.Table.Rooms[room].Number + 1, Recall: status.Recall + 1, Session: act.Session,
			Places: claims[room], Files: files, House: house, By: act.By, Host: g.host.Name, At: g.config.Now(),
		})
		if err != nil {
			return view, err
		}
		g.underway.keep(claims[room])
	}
	return view, nil
}

// claimsOf are lines by the room that they are claimed for: the one of the host that has them
// by the table, else a given one.
func claimsOf(view border.View, own func(room string) bool, room string, places []border.Place) map[string][]border.Place {
	all := map[string][]border.Place{}
	for _, p := range places {
		of := room
		if h, held := view.Table.Holds[p]; held && own(h.Room) {
			of = h.Room
		}
		all[of] = append(all[of], p)
	}
	return all
}

// open opens those of the lines that the host's rooms hold to the keeper which are needed,
// or which an act on the way expects, and shuts all others. Without the table all that is
// held is open: it cannot be given back. Whoever calls has the turn.
func (g *Gate) open(ctx context.Context, lines shared.Lines, need []string) error {
	view := g.View()
	held, expected := g.held(view), g.underway.expected()
	return g.keeper.Shut(ctx, lines.Jacks(func(place string) bool {
		return !held(place) || view.Cut == nil && !slices.Contains(need, place) && !slices.Contains(expected, place)
	}))
}

// Shut are the jacks that are shut by a table, for a keeper that starts.
func Shut(s *studio.Studio, host house.Host, t border.Table) []name.Point {
	return shared.Of(s).Jacks(func(place string) bool {
		h, is := t.Holds[border.Place(place)]
		return !is || !slices.Contains(host.Rooms, h.Room)
	})
}

// used are the lines that a room is on: by what is plugged, what is planned, and what
// is on the way.
func used(lines shared.Lines, s keep.Status) []string {
	return lines.Taken(s.Known.Patch(), toPatch(s.Plan))
}
