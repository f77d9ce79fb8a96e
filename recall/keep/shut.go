package keep

import (
	"context"
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// shut are the jacks of lines that rooms share and that this keeper's rooms do not hold.
// Plans go around them; what is plugged there stays known.
type shut []name.Point

func (f shut) happened(k *machine) { k.memory.Shut = f }

// Shut says which jacks are on lines that other rooms hold, or may come to hold. It
// returns once every plan goes around them, until it is called again; they are not
// remembered over a restart.
func (k *Keeper) Shut(ctx context.Context, jacks []name.Point) error {
	select {
	case k.facts <- shut(slices.Clone(jacks)):
	case <-k.stopped:
		return ErrStopped
	case <-ctx.Done():
		return ctx.Err()
	}
	return k.Ping(ctx)
}

// around is a studio of which no plan uses some jacks, nor the normals at them: a signal
// through one would be on the line as well.
func around(s *studio.Studio, jacks []name.Point) *studio.Studio {
	if s == nil || len(jacks) == 0 {
		return s
	}
	to := *s
	to.Faulty, to.FaultyNormals = slices.Clone(s.Faulty), slices.Clone(s.FaultyNormals)
	is := map[name.Point]bool{}
	for _, p := range jacks {
		is[p] = true
		if !slices.Contains(to.Faulty, p) {
			to.Faulty = append(to.Faulty, p)
		}
	}
	for _, b := range s.Bays {
		for n := 1; n <= b.Pairs(); n++ {
			top := b.TopJack(n)
			if (is[top] || is[b.BottomJack(n)]) && !slices.Contains(to.FaultyNormals, top) {
				to.FaultyNormals = append(to.FaultyNormals, top)
			}
		}
	}
	return &to
}
