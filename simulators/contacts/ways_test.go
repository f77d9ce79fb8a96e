package contacts_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
	"bayhand/simulators/rooms"
)

// origins compares what came before, through gear, and notes for each source where
// it comes to.
func origins(in name.Point, room rooms.Room, metal *contacts.Readings, state *heard.State, onward map[name.Point][]name.Point) string {
	comes, says := metal.Origins(in, room.Inside), state.Origins(in, room.Inside)
	for _, out := range comes {
		onward[out] = append(onward[out], in)
	}
	if !slices.Equal(comes, says) {
		return fmt.Sprintf("to %s come %v in the metal; the model has the origins %v\n", in, comes, says)
	}
	return ""
}

// comesTo compares where a source comes to, through gear.
func comesTo(out name.Point, inputs []name.Point, room rooms.Room, state *heard.State) string {
	slices.SortFunc(inputs, name.Point.Compare)
	if says := state.Onward(out, room.Inside); !slices.Equal(inputs, says) {
		return fmt.Sprintf("%s comes to %v in the metal; in the model it goes on to %v\n", out, inputs, says)
	}
	return ""
}

// alongWays holds every way against the voltages: whatever arrives has one, and
// at each place on it the signal is there.
func alongWays(in name.Point, metal *contacts.Readings, state *heard.State, total tally) string {
	arrives := metal.Hears(in)
	var from []name.Point
	for _, way := range state.Ways(in) {
		from = append(from, way.From)
		total["ways"]++
		for _, step := range way.Steps {
			if !metal.Doubtful(step.Point) && math.Abs(float64(metal.Level(step.Point, way.From))) < leastOnWay {
				return fmt.Sprintf("on the way %v is nothing of %s at %s in the metal\n", way, way.From, step.Point)
			}
		}
	}
	if !slices.Equal(slices.Compact(from), arrives) {
		return fmt.Sprintf("at %s arrives %v in the metal; the model has ways from %v\n", in, arrives, from)
	}
	return ""
}

// leastOnWay is far above silence and far below what two loads and a grounded
// leg leave of 1 V.
const leastOnWay = 5e-3

// mostBreaks is how many breaks are tried in a room: each is a circuit of its own.
const mostBreaks = 3

// breaks tries in the metal what is said to break the only way from a source to
// an input.
func breaks(room rooms.Room, metal *contacts.Readings, model *heard.Room, total tally) (string, error) {
	tried, state := 0, model.Hear(room.Patch)
	for _, in := range metal.Inputs() {
		ways := state.Ways(in)
		if len(ways) != 1 || metal.Doubtful(in) {
			continue
		}
		said := model.Breaks(room.Patch, ways[0])
		for _, b := range said {
			if b.By == "" || tried == mostBreaks {
				continue // a plug in a socket at the front, which needs a cable
			}
			if b.Do == heard.Plugging && slices.Contains(room.Patch.Plugs(), b.At[0]) {
				return fmt.Sprintf("%s holds a plug in the metal, and a plug there is said to break %v\n", b.At[0], ways[0]), nil
			}
			tried++
			total["breaks"]++
			after := room
			after.Patch = without(room, b)
			broken, err := read(after)
			if err != nil {
				return "", err
			}
			if arrives := slices.Contains(broken.Hears(in), ways[0].From); !broken.Doubtful(in) && arrives != b.Leaves {
				return fmt.Sprintf("at %s arrives %s in the metal after %v %v: %v; the model says %v\n", in, ways[0].From, b.Do, b.At, arrives, b.Leaves), nil
			}
		}
		if wrong, err := bystander(room, in, ways[0], said, total); wrong != "" || err != nil {
			return wrong, err
		}
	}
	return "", nil
}

// bystander puts a dummy into the first free jack on a way that is not said to
// break it: what arrived still does.
func bystander(room rooms.Room, in name.Point, way heard.Way, said []heard.Break, total tally) (string, error) {
	plugs := room.Patch.Plugs()
	for _, step := range way.Steps {
		p := step.Point
		breaks := slices.ContainsFunc(said, func(b heard.Break) bool { return b.Do == heard.Plugging && b.At[0] == p })
		isJack := slices.ContainsFunc(room.Studio.Bays, func(b studio.Bay) bool { return b.Name == p.Owner })
		if !isJack || breaks || slices.Contains(plugs, p) {
			continue
		}
		total["bystanders"]++
		after := room
		after.Patch = room.Patch.Clone()
		after.Patch.Dummies = append(after.Patch.Dummies, p)
		metal, err := read(after)
		if err != nil {
			return "", err
		}
		if !metal.Doubtful(in) && !slices.Contains(metal.Hears(in), way.From) {
			return fmt.Sprintf("a plug in %s, which is not said to break it, keeps %s from %s in the metal\n", p, way.From, in), nil
		}
		return "", nil
	}
	return "", nil
}

// without is the patch of a room after a break. What is switched together opens
// together.
func without(room rooms.Room, b heard.Break) patch.Patch {
	p := room.Patch.Clone()
	switch b.Do {
	case heard.Plugging:
		p.Dummies = append(p.Dummies, b.At[0])
	case heard.Pulling:
		p.Cords = slices.DeleteFunc(p.Cords, patch.Cord{A: b.At[0], B: b.At[1]}.Same)
		p.Leads = slices.DeleteFunc(p.Leads, func(l patch.Lead) bool { return l.Port == b.At[0] && l.Jack == b.At[1] })
	case heard.Opening:
		opened := room.GangOf(patch.Crosspoint{Output: b.At[1], Input: b.At[0]})
		p.Crosspoints = slices.DeleteFunc(p.Crosspoints, func(c patch.Crosspoint) bool { return slices.Contains(opened, c) })
	case heard.BreakUnknown:
	}
	return p
}

// A patch that parts what one coil switches is found out, and in the metal the
// coil has its way.
func TestPartedOutputsAreFound(t *testing.T) {
	tried := 0
	for seed := range uint64(400) {
		room := rooms.DrawUpTo(mostJacks, seed)
		for i, c := range room.Patch.Crosspoints {
			if len(room.GangOf(c)) < 2 || room.GangOf(c)[0] == c {
				continue
			}
			tried++
			parted := room
			parted.Patch = room.Patch.Clone()
			parted.Patch.Crosspoints = slices.Delete(parted.Patch.Crosspoints, i, i+1)
			if len(heard.NewRoom(room.Studio).Parted(parted.Patch)) == 0 {
				t.Errorf("seed %d: %+v lacks %v and is not found out", seed, parted.Patch, c)
			}
			whole, metal := measure(t, room), measure(t, parted)
			for _, in := range metal.Inputs() {
				if !slices.Equal(whole.Hears(in), metal.Hears(in)) {
					t.Errorf("seed %d: %s hears %v, and %v with the crosspoint that the coil closes anyhow", seed, in, metal.Hears(in), whole.Hears(in))
				}
			}
			break
		}
	}
	if tried < 20 {
		t.Errorf("only %d patches were parted", tried)
	}
}

// A crosspoint that the hardware lacks cannot be closed.
func TestMissingCrosspointsCannotBeClosed(t *testing.T) {
	room := rooms.DrawUpTo(mostJacks, 1)
	for seed := uint64(1); len(room.Studio.Matrices) == 0 || len(room.Studio.Matrices[0].Missing) == 0; seed++ {
		room = rooms.DrawUpTo(mostJacks, seed)
	}
	absent := room.Studio.Matrices[0].Missing[0]
	room.Patch = patch.Patch{Crosspoints: []patch.Crosspoint{patch.Crosspoint(absent)}}
	if _, err := read(room); err == nil {
		t.Errorf("%v was closed, and is missing", absent)
	}
}
