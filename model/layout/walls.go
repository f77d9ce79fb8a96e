package layout

import (
	"slices"

	"bayhand/model/studio"
)

// Walls say which parts of a studio stand in different places: no cord goes from a part
// of one room to a part of another, but where the file says that the rooms stand
// together. What is in no room has no wall around it.
type Walls struct {
	// place is the number of the place of each part that is in a room, from 1.
	place map[string]int
}

// NewWalls are those of a studio. It takes time linear in the parts, and in the rooms
// for each group of rooms that stand together.
func NewWalls(s *studio.Studio) Walls {
	w := Walls{map[string]int{}}
	for i, r := range s.Rooms {
		for _, p := range r.Parts {
			w.place[p] = i + 1
			if t := slices.IndexFunc(s.Together, func(rooms []string) bool { return slices.Contains(rooms, r.Name) }); t >= 0 {
				w.place[p] = len(s.Rooms) + t + 1
			}
		}
	}
	return w
}

// Place is the number of the place in which a bay, box, matrix or gear stands; 0 for one
// that is in no room.
func (w Walls) Place(part string) int { return w.place[part] }

// Between says whether there is a wall between two parts.
func (w Walls) Between(a, b string) bool {
	p, q := w.place[a], w.place[b]
	return p != q && p != 0 && q != 0
}
