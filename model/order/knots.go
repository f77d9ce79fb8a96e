package order

import "bayhand/model/name"

// knots are the zones that ways lead from one to the other and back among
// (Tarjan 1972), found as they are asked for.
type knots struct {
	ways *ways
	// index numbers the zones as they are come upon, low is the least index that
	// leads on from one; on says which are on the stack.
	index, low map[name.Point]int
	on         map[name.Point]bool
	stack      []name.Point
	// of is the knot of each zone; rings are those in which something may go round.
	of    map[name.Point]int
	rings map[int]bool
}

func newKnots(w *ways) *knots {
	return &knots{ways: w, index: map[name.Point]int{}, low: map[name.Point]int{}, on: map[name.Point]bool{}, of: map[name.Point]int{}, rings: map[int]bool{}}
}

// knot is that of a zone; ring says whether anything may go round in it.
func (k *knots) knot(zone name.Point) (number int, ring bool) {
	if _, known := k.of[zone]; !known {
		k.visit(zone)
	}
	return k.of[zone], k.rings[k.of[zone]]
}

type visit struct {
	zone name.Point
	next []name.Point
}

func (k *knots) visit(start name.Point) {
	frames := []visit{k.enter(start)}
	for len(frames) > 0 {
		f := &frames[len(frames)-1]
		if len(f.next) > 0 {
			to := f.next[0]
			f.next = f.next[1:]
			switch _, seen := k.index[to]; {
			case !seen:
				frames = append(frames, k.enter(to))
			case k.on[to]:
				k.low[f.zone] = min(k.low[f.zone], k.index[to])
			}
			continue
		}
		zone := f.zone
		frames = frames[:len(frames)-1]
		if len(frames) > 0 {
			above := frames[len(frames)-1].zone
			k.low[above] = min(k.low[above], k.low[zone])
		}
		if k.low[zone] == k.index[zone] {
			k.leave(zone)
		}
	}
}

func (k *knots) enter(zone name.Point) visit {
	k.index[zone] = len(k.index) + 1
	k.low[zone] = k.index[zone]
	k.on[zone] = true
	k.stack = append(k.stack, zone)
	next := k.ways.next(zone)
	for _, to := range next {
		if to == zone {
			k.rings[k.index[zone]] = true // it may well be a knot of its own
		}
	}
	return visit{zone, next}
}

// leave takes a finished knot off the stack; it is called by the index of its
// first zone.
func (k *knots) leave(zone name.Point) {
	number, size := k.index[zone], 0
	ring := false
	for {
		last := k.stack[len(k.stack)-1]
		k.stack = k.stack[:len(k.stack)-1]
		k.on[last] = false
		k.of[last] = number
		ring = ring || k.rings[k.index[last]]
		size++
		if last == zone {
			break
		}
	}
	k.rings[number] = ring || size > 1
}
