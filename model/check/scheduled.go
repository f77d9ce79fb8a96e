package check

import (
	"slices"

	"bayhand/model/schedule"
	"bayhand/model/strip"
	"bayhand/model/studio"
)

// jackets are the cables of the schedule, each with the lines in it.
func (v *view) jackets() []schedule.Cable {
	made := schedule.Of(v.studio)
	return slices.Concat(made.Cables, made.Loudspeakers)
}

// socketsOf calls f with each multiway connector of gear and bays, and its key.
func (v *view) socketsOf(f func(key string, s studio.Socket)) {
	for _, g := range v.studio.Gear {
		for _, s := range g.Sockets {
			f("gear."+g.Name+".sockets."+s.Name, s)
		}
	}
	for _, b := range v.studio.Bays {
		for _, s := range b.Sockets {
			f("bays."+b.Name+".sockets."+s.Name, s)
		}
	}
}

// onStrips finds texts on the strips of bays whose file says how high those are.
func onStrips(wanted func(strip.Text) bool) func(*view) []violation {
	return func(v *view) []violation {
		var all []violation
		for _, b := range v.studio.Bays {
			if b.Strips == (studio.Strips{}) {
				continue
			}
			for _, r := range strip.Remarks(strip.Of(v.studio, b, strip.Options{})) {
				if wanted(r.Text) {
					all = append(all, violation{key: "bays." + b.Name + ".strips", message: r.String(), hint: orElse(r.Hint, "give one of them another label, or a short form of its own")})
				}
			}
		}
		return all
	}
}
