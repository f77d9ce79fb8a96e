package check

import (
	"fmt"

	"bayhand/model/disjoint"
	"bayhand/model/graph"
	"bayhand/model/layout"
	"bayhand/model/scope"
)

var walledOff = rule{
	Rule: Rule{
		Code:     "no-line-between",
		Severity: "error",
		Title:    "a session goes from one room to another, and no line leads there",
		Manual: `No cord goes through a wall: between bays that ` + "`rooms:`" + ` names in different rooms, plans
go by the lines that are tied there. Where none is, there is no way. Write the lines
under ` + "`ties:`" + `, or, where the rooms stand in one place, so that a cord goes from the one to
the other, write ` + "`together:`" + `. A patch that is kept with such a cord in it shows as much.`,
		Bad: Example{Studio: walledStudio, Session: walledSession},
		Good: Example{
			Studio:  walledStudio + "ties: [far/t2 = main/b2]\n",
			Session: walledSession,
		},
	},
	session: acrossWalls,
}

const walledStudio = `studio: Two rooms and a wall
gear:
  stage: {outputs: {out1: pro-line}}
  desk: {inputs: {in1: pro-line}}
bays:
  far: {pairs: 2, modes: isolated}
  main: {pairs: 2, modes: isolated}
wiring:
  - stage/out1 -> far/t1
  - main/b1 -> desk/in1
rooms: {live: [far], mix: [main]}
`

const walledSession = `session: Through the wall
connect:
  - stage/out1 -> desk/in1
`

// acrossWalls looks for lines of a session from room to room where no metal, matrix or
// cord could ever lead.
func acrossWalls(v *sessionView) []violation {
	if len(v.studio.Rooms) < 2 {
		return nil
	}
	g := v.room.Graph()
	joined := v.joinable(g)
	var all []violation
	for _, w := range v.session.Wants {
		a, okA := g.Number[w.Source]
		b, okB := g.Number[w.Destination]
		from, to := scope.RoomOf(v.studio, w.Source), scope.RoomOf(v.studio, w.Destination)
		if !okA || !okB || from == to || from == "" || to == "" || g.PortAt[a] != graph.None || g.PortAt[b] != graph.None {
			continue
		}
		if joined.Joined(g.Node[a], g.Node[b]) {
			continue
		}
		all = append(all, violation{
			key:     orElse(w.Key, "connect"),
			message: fmt.Sprintf("%s is in the room %s and %s in %s, and no line leads from the one to the other; no cord goes through the wall", w.Source, from, w.Destination, to),
			hint:    fmt.Sprintf("write the lines between the rooms under ties:, or together: [[%s, %s]] where they stand in one place", from, to),
		})
	}
	return all
}

// joinable is the metal of a room, joined wherever a normal, a crosspoint or a cord could
// join it. It takes time linear in the room.
func (v *sessionView) joinable(g *graph.Graph) disjoint.Sets {
	f := disjoint.New(len(g.Nodes))
	for _, n := range g.Normals {
		f.Join(g.Jacks[n.A].Node, g.Jacks[n.B].Node)
	}
	for _, x := range g.Crosses {
		f.Join(g.Outputs[x.Output].Node, x.From)
	}
	walls, first := layout.NewWalls(v.studio), map[int]int{}
	shared := graph.None // a jack of a bay in no room, which cords go to from each
	for j, jack := range g.Jacks {
		at := walls.Place(g.Owner(j))
		if jack.Socket {
			continue
		}
		if _, ok := first[at]; !ok {
			first[at] = j
		}
		if at == 0 {
			shared = j
		}
		f.Join(g.Jacks[first[at]].Node, jack.Node)
	}
	for _, j := range first {
		if shared != graph.None {
			f.Join(g.Jacks[j].Node, g.Jacks[shared].Node)
		}
	}
	v.joinKept(g, f)
	return f
}

// joinKept joins what cords join that are in at rest, or in the patch that the session
// keeps: others go where they go.
func (v *sessionView) joinKept(g *graph.Graph, f disjoint.Sets) {
	cords := v.studio.Rest.Cords
	if v.session.Patch != nil {
		cords = append(cords[:len(cords):len(cords)], v.session.Patch.Cords...)
	}
	for _, c := range cords {
		a, okA := g.JackOf[c.A]
		b, okB := g.JackOf[c.B]
		if okA && okB {
			f.Join(g.Jacks[a].Node, g.Jacks[b].Node)
		}
	}
}
