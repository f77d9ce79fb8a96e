package contacts_test

import (
	"fmt"
	"maps"
	"os"
	"slices"
	"strconv"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
	"bayhand/simulators/rooms"
)

// BAYHAND_ROOMS is the number of made-up rooms that the property is tried on.
func roomsToTry(t *testing.T) uint64 {
	text := os.Getenv("BAYHAND_ROOMS")
	if text == "" {
		return 3000
	}
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil || n == 0 {
		t.Fatalf("BAYHAND_ROOMS is %q; write a number of rooms from 1", text)
	}
	return n
}

// What the model says is heard, silent, in contention and in a loop is what the
// circuit does. Where outputs fight, what is heard is not defined, and only the fight is
// compared.
func TestModelAndMetalAgree(t *testing.T) {
	total := map[string]int{}
	count := roomsToTry(t)
	for seed := range count {
		room := rooms.Draw(seed)
		for feature, n := range room.Features() {
			if n > 0 {
				total["rooms with "+feature]++
			}
		}
		if !agree(t, room, total) {
			t.Fatalf("seed %d:\n%s", seed, describe(room))
		}
	}
	report(t, count, total)
	for _, compared := range []string{"inputs that hear one source", "silent inputs", "fights", "rooms with a loop"} {
		if total[compared] < int(count)/10 {
			t.Errorf("only %d %s were compared in %d rooms", total[compared], compared, count)
		}
	}
}

func agree(t *testing.T, room rooms.Room, total map[string]int) bool {
	t.Helper()
	metal := measure(t, room)
	state := heard.NewRoom(room.Studio).Hear(room.Patch)
	ok := sameFights(t, metal.Fights(), state.Contentions(), total)
	ok = sameLoops(t, metal, state, total) && ok
	for _, in := range metal.Inputs() {
		ok = sameHeard(t, in, metal, state, total) && ok
	}
	return ok
}

func measure(t *testing.T, room rooms.Room) *contacts.Readings {
	t.Helper()
	panel, err := contacts.Build(room.Studio, room.Patch)
	if err != nil {
		t.Fatalf("%v in\n%s", err, describe(room))
	}
	metal, err := panel.Measure()
	if err != nil {
		t.Fatalf("%v in\n%s", err, describe(room))
	}
	return metal
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

func sameFights(t *testing.T, fights [][]name.Point, contentions []heard.Contention, total map[string]int) bool {
	t.Helper()
	var drivers [][]name.Point
	for _, c := range contentions {
		drivers = append(drivers, c.Drivers)
	}
	total["fights"] += len(fights)
	if !slices.EqualFunc(fights, drivers, slices.Equal) {
		t.Errorf("fights in the metal: %v; in the model: %v", fights, drivers)
		return false
	}
	return true
}

func sameLoops(t *testing.T, metal *contacts.Readings, state *heard.State, total map[string]int) bool {
	t.Helper()
	howls, loops := metal.Howls(nil), state.Loops(nil, nil)
	if howls {
		total["rooms with a loop"]++
	}
	if howls != (len(loops) > 0) {
		t.Errorf("a signal goes round in the metal: %v; the model has the loops %v", howls, loops)
		return false
	}
	return true
}

func sameHeard(t *testing.T, in name.Point, metal *contacts.Readings, state *heard.State, total map[string]int) bool {
	t.Helper()
	if metal.Doubtful(in) {
		total["inputs in doubt"]++
		return true
	}
	arrives, says := metal.Hears(in), state.Hears(in)
	switch len(arrives) {
	case 0:
		total["silent inputs"]++
	case 1:
		total["inputs that hear one source"]++
	default:
		t.Errorf("at %s arrive %v, though no outputs fight", in, arrives)
		return false
	}
	if !slices.Equal(arrives, says) {
		t.Errorf("at %s arrives %v in the metal; the model hears %v", in, arrives, says)
		return false
	}
	return true
}

func report(t *testing.T, count uint64, total map[string]int) {
	t.Helper()
	t.Logf("%d rooms", count)
	for _, feature := range slices.Sorted(maps.Keys(total)) {
		t.Logf("%6d %s", total[feature], feature)
	}
}

// describe prints a room so that a failure can be read without running it.
func describe(room rooms.Room) string {
	s := room.Studio
	text := ""
	for _, bay := range s.Bays {
		text += fmt.Sprintf("%s: %v\n", bay.Name, bay.Modes)
	}
	for _, m := range s.Matrices {
		text += fmt.Sprintf("%s: %dx%d %v, lets go: %v\n", m.Name, m.Inputs, m.Outputs, m.Kind, m.LetsGo)
	}
	for _, w := range s.Wires {
		text += fmt.Sprintf("wire %s -> %s\n", w.From, w.To)
	}
	return text + fmt.Sprintf("ties %v\nmults %v\nnormals %v\ndead %v\npatch %+v\n",
		s.Ties, s.Mults, s.Normals, s.FaultyNormals, room.Patch)
}
