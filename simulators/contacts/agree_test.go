package contacts_test

import (
	"fmt"
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
	"bayhand/simulators/rooms"
)

// mostJacks is how large the rooms of the property are.
const mostJacks = 40

// What the model says is heard, silent, in contention and in a loop is what the
// circuit does, in whatever room and patch, and after changes one by one. Where
// outputs fight, what is heard is not defined, and only the fight is compared.
func TestModelAndMetalAgree(t *testing.T) {
	count := roomsToTry(t)
	result := tryRooms(count)
	switch first := result.first; {
	case first != nil && first.err != nil:
		t.Fatalf("seed %d: %v", first.seed, first.err)
	case first != nil:
		// The planted faults are recognised by this line.
		t.Fatalf("%s%d rooms\n%s", differs, first.seed+1, first.text)
	}
	result.total.report(t, count)
	result.total.often(t, count)
}

const differs = "model and metal differ after "

// tryRoom compares one room, and in one of three what changes make of it. It
// returns what differs, in words, or nothing.
func tryRoom(seed uint64, total tally) (string, error) {
	room := rooms.DrawUpTo(mostJacks, seed)
	for feature, n := range room.Features() {
		total.count(feature, n > 0)
	}
	model := heard.NewRoom(room.Studio).For(room.Session(), room.Patch)
	if parted := model.Parted(room.Patch); len(parted) > 0 {
		return fmt.Sprintf("the model finds %v parted, which the coils switch together\n", parted), nil
	}
	state := model.Hear(room.Patch)
	wrong, err := compare(room, state, total)
	if err == nil && wrong == "" && seed%8 == 1 {
		wrong, err = tryBreaks(room, model, total)
	}
	if err != nil || wrong != "" || seed%3 != 0 {
		return wrong, err
	}
	live := model.Live(room.Patch)
	for i, c := range room.Changes(4, seed) {
		live.Change(c.Out, c.In)
		room.Patch = c.After
		total.count("changed room", i == 0)
		wrong, err := compare(room, live.State, tally{})
		if err != nil || wrong != "" {
			return fmt.Sprintf("after %+v out and %+v in:\n%s", c.Out, c.In, wrong), err
		}
	}
	return "", nil
}

// tryBreaks tries what is said to break ways.
func tryBreaks(room rooms.Room, model *heard.Room, total tally) (string, error) {
	metal, err := read(room)
	if err != nil {
		return "", err
	}
	wrong, err := breaks(room, metal, model, total)
	if wrong != "" {
		wrong += describe(room)
	}
	return wrong, err
}

// compare holds a state against the circuit.
func compare(room rooms.Room, state *heard.State, total tally) (string, error) {
	metal, err := read(room)
	if err != nil {
		return "", err
	}
	if unclear := metal.Unclear(); len(unclear) > 0 {
		return "", fmt.Errorf("the meter cannot tell what is at %v in\n%s", unclear, describe(room))
	}
	wrong := fights(metal, state, total) + loops(room, metal, state, total)
	total.count("source heard through amplifiers", slices.ContainsFunc(metal.Inputs(), metal.Amplified))
	onward := map[name.Point][]name.Point{}
	for _, in := range metal.Inputs() {
		wrong += arrivals(in, metal, state, total)
		wrong += origins(in, room, metal, state, onward)
	}
	for _, out := range metal.Outputs() {
		wrong += reaches(out, metal, state)
		wrong += comesTo(out, onward[out], room, state)
	}
	if wrong != "" {
		wrong += describe(room)
	}
	return wrong, nil
}

func read(room rooms.Room) (*contacts.Readings, error) {
	panel, err := contacts.Build(room.Whole(), room.Patch)
	if err != nil {
		return nil, fmt.Errorf("%w in\n%s", err, describe(room))
	}
	metal, err := panel.Measure()
	if err != nil {
		return nil, fmt.Errorf("%w in\n%s", err, describe(room))
	}
	return metal, nil
}

func measure(t *testing.T, room rooms.Room) *contacts.Readings {
	t.Helper()
	metal, err := read(room)
	if err != nil {
		t.Fatal(err)
	}
	return metal
}

// fights compares between whom outputs are joined.
func fights(metal *contacts.Readings, state *heard.State, total tally) string {
	fights := metal.Fights()
	total.count("contention", len(fights) > 0)
	var drivers [][]name.Point
	for _, c := range state.Contentions() {
		drivers = append(drivers, c.Drivers)
	}
	if !slices.EqualFunc(fights, drivers, slices.Equal) {
		return fmt.Sprintf("fights in the metal: %v; in the model: %v\n", fights, drivers)
	}
	if state.Contended() != (len(fights) > 0) {
		return fmt.Sprintf("fights in the metal: %v; the model says contended: %v\n", fights, state.Contended())
	}
	return ""
}

func loops(room rooms.Room, metal *contacts.Readings, state *heard.State, total tally) string {
	for _, inside := range [][]studio.Pass{nil, room.Inside} {
		howls, loops := metal.Howls(inside), state.Loops(inside, nil)
		if inside == nil {
			total.count("loop", howls)
		}
		if howls != (len(loops) > 0) {
			return fmt.Sprintf("with %v inside a signal goes round in the metal: %v; the model has the loops %v\n", inside, howls, loops)
		}
	}
	return ""
}

// arrivals compares what is heard at an input.
func arrivals(in name.Point, metal *contacts.Readings, state *heard.State, total tally) string {
	if metal.Doubtful(in) {
		total["inputs in doubt"]++
		return ""
	}
	arrives, says := metal.Hears(in), state.Hears(in)
	switch len(arrives) {
	case 0:
		total["silent inputs"]++
	case 1:
		total["inputs that hear one source"]++
	default:
		return fmt.Sprintf("at %s arrive %v, though no outputs fight\n", in, arrives)
	}
	if !slices.Equal(arrives, says) {
		return fmt.Sprintf("at %s arrives %v in the metal; the model hears %v\n", in, arrives, says)
	}
	return alongWays(in, metal, state, total)
}

// reaches compares where an output arrives.
func reaches(out name.Point, metal *contacts.Readings, state *heard.State) string {
	clear := func(points []name.Point) []name.Point { return slices.DeleteFunc(points, metal.Doubtful) }
	arrives, says := clear(metal.Reaches(out)), clear(state.Reaches(out))
	if !slices.Equal(arrives, says) {
		return fmt.Sprintf("%s arrives at %v in the metal; in the model it reaches %v\n", out, arrives, says)
	}
	return ""
}

// describe prints a room so that a failure can be read without running it.
func describe(room rooms.Room) string {
	s := room.Whole()
	text := s.Name + "\n"
	for _, bay := range s.Bays {
		text += fmt.Sprintf("%s: %v, sleeves %v\n", bay.Name, bay.Modes, bay.Ground)
	}
	for _, m := range s.Matrices {
		text += fmt.Sprintf("%s: %dx%d %v, lets go: %v, together: %v\n", m.Name, m.Inputs, m.Outputs, m.Kind, m.HighImpedance, m.Stereo)
	}
	for _, g := range s.Gear {
		text += fmt.Sprintf("%s passes %v\n", g.Name, g.Passes)
	}
	for _, w := range s.Wires {
		text += fmt.Sprintf("wire %s -> %s\n", w.From, w.To)
	}
	return text + fmt.Sprintf("ties %v\nmults %v\nnormals %v\ndead %v\npatch %+v\n",
		s.Ties, s.Mults, s.Normals, s.FaultyNormals, room.Patch)
}

// A model that misread one mode would be caught: here it is told another mode
// than the metal has.
func TestAMisreadModeIsCaught(t *testing.T) {
	for _, wrong := range [][2]studio.Mode{
		{studio.HalfNormal, studio.HalfNormalTop},
		{studio.HalfNormal, studio.FullNormal},
		{studio.FullNormal, studio.HalfNormal},
		{studio.Parallel, studio.Isolated},
	} {
		t.Run(wrong[0].String()+" as "+wrong[1].String(), func(t *testing.T) {
			if !caught(t, wrong[0], wrong[1]) {
				t.Error("300 rooms showed no difference")
			}
		})
	}
}

func caught(t *testing.T, is, told studio.Mode) bool {
	t.Helper()
	for seed := range uint64(300) {
		metal := measure(t, rooms.Draw(seed))
		room := rooms.Draw(seed)
		for _, bay := range room.Studio.Bays {
			for i, mode := range bay.Modes {
				if mode == is {
					bay.Modes[i] = told
				}
			}
		}
		state := heard.NewRoom(room.Studio).Hear(room.Patch)
		for _, in := range metal.Inputs() {
			if !metal.Doubtful(in) && !slices.Equal(metal.Hears(in), state.Hears(in)) {
				return true
			}
		}
	}
	return false
}

// What is not compared where outputs fight is the levels alone: a patch that
// joins two outputs is doubtful at the input between them and nowhere else.
func TestDoubtIsOnlyWhereOutputsFight(t *testing.T) {
	s, p := row{mode: studio.Parallel, bottom: true}.room()
	s.Gear = append(s.Gear, source("x"), destination("y"))
	s.Wires = append(s.Wires, studio.Wire{From: name.At("x", "out", 1), To: name.At("y", "in", 1)})
	metal := measure(t, rooms.Room{Studio: s, Patch: p})
	for _, c := range []struct {
		at   string
		want bool
	}{{"d", true}, {"t", false}, {"y", false}} {
		if got := metal.Doubtful(name.At(c.at, "in", 1)); got != c.want {
			t.Errorf("%s in doubt: %v", c.at, got)
		}
	}
	if metal.Doubtful(name.At("none", "in", 1)) {
		t.Error("a point that the room does not have is in doubt")
	}
}
