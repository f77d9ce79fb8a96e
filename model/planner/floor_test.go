package planner_test

import (
	"strings"
	"testing"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/simulators/rooms"
)

// tally counts how often a floor is as high as it can be.
type tally struct{ given, equal, apart int }

// hold fails where a floor is above the plugs that a plan handles.
func (y *tally) hold(t *testing.T, room *heard.Room, from patch.Patch, s *session.Session, o planner.Options, plugs int) {
	t.Helper()
	floor, err := planner.Floor(room, from, s, o)
	if err != nil {
		t.Fatal(err)
	}
	if floor > plugs {
		t.Errorf("%s, left %v: a floor of %d, and %d plugs suffice", o.Prefer, o.LeaveCords, floor, plugs)
	}
	for _, known := range []*patch.Patch{nil, &from} { // any patch will do, if only what is in
		raised, err := planner.Raised(room, from, s, o, known, plugs+10, 3e5) // as if no more was known
		if err != nil {
			t.Fatal(err)
		}
		if raised > plugs {
			t.Errorf("%s, left %v: a floor of %d by prices, and %d plugs suffice", o.Prefer, o.LeaveCords, raised, plugs)
		}
		floor = max(floor, raised)
	}
	y.holdWithin(t, room, from, s, o, plugs)
	y.given++
	y.apart += plugs - floor
	if floor == plugs {
		y.equal++
	}
}

// holdWithin fails where nothing that plans may have by the prices gives one with so many plugs.
func (y *tally) holdWithin(t *testing.T, room *heard.Room, from patch.Patch, s *session.Session, o planner.Options, plugs int) {
	t.Helper()
	if o.Prefer != plan.PreferFewest {
		return // there, the fewest plugs of plans as plain as can be
	}
	for _, directed := range []bool{false, true} {
		none, err := planner.NoneWithin(t.Context(), room, from, s, o, plugs, directed, 3e5, 20e6)
		if err != nil {
			t.Fatal(err)
		}
		if none {
			t.Errorf("left %v, directed %v: nothing that plans with %d plugs may have gives one, and there is one", o.LeaveCords, directed, plugs)
		}
	}
}

// No patch that gives a session is reached with fewer plugs than the floor, of all
// that there are in studios so small that every one can be tried.
func TestFloorUnderEveryPatch(t *testing.T) {
	var y tally
	try := func(seed uint64) {
		tiny := drawTiny(seed + 1e6)
		room := heard.NewRoom(tiny.studio)
		if fewest, _, any := tiny.best(room); any {
			y.hold(t, room, tiny.present, tiny.session, planner.Options{Prefer: plan.PreferFewest}, fewest.plugs)
		}
		if t.Failed() {
			t.Fatalf("seed %d: %s", seed+1e6, tiny)
		}
	}
	// The cord that is in becomes the one by which an input has a source again that another
	// new one takes from it.
	try(920)
	// A cord that is in may also be one that would be new, for another source.
	try(2183)
	for seed := range tinyRooms(t, 84) {
		try(seed)
	}
	t.Logf("%+v", y)
	if y.given == 0 || y.equal < y.given/3 {
		t.Errorf("%+v prove too little", y)
	}
}

var floorOptions = []planner.Options{
	{Prefer: plan.PreferFewest}, {Prefer: plan.PreferPlain}, {Prefer: plan.PreferSame},
	{Prefer: plan.PreferFewest, LeaveCords: true}, {Prefer: plan.PreferPlain, LeaveCords: true},
}

// No plan has fewer plugs than the floor, with any option, where the search does not know
// the floor; where the search finds
// the least of all, the floor is often that.
func TestFloorUnderEveryPlan(t *testing.T) {
	for _, o := range floorOptions {
		var y tally
		for seed := range tinyRooms(t, 240) {
			tiny := drawTiny(seed + 2e6)
			room := heard.NewRoom(tiny.studio)
			p, err := planner.FindWithout(t.Context(), room, tiny.present, tiny.session, o, "bound")
			if err != nil {
				t.Fatal(err)
			}
			if p.Given {
				y.hold(t, room, tiny.present, tiny.session, o, p.Plugs)
			}
			if t.Failed() {
				t.Fatalf("seed %d: %s\n%+v", seed+2e6, tiny, p.Moves)
			}
		}
		t.Logf("%s, left %v: %+v", o.Prefer, o.LeaveCords, y)
		if y.given == 0 || y.equal < y.given/3 {
			t.Errorf("%s, left %v: %+v prove too little", o.Prefer, o.LeaveCords, y)
		}
	}
}

// The same in rooms of all that a studio can have: guests, switches, outputs that
// are switched together. There the present patch is what the session was captured
// from after some changes, or the rest patch.
func TestFloorUnderDrawnRooms(t *testing.T) {
	var y tally
	try := func(seed uint64) {
		drawn := rooms.DrawUpTo(24, seed)
		o := floorOptions[seed%uint64(len(floorOptions))]
		o.Effort = 20
		s, from := captured(drawn, seed)
		room := heard.NewRoom(drawn.Studio)
		p, err := planner.FindWithout(t.Context(), room, from, s, o, "bound")
		if err != nil || !p.Given {
			return // a patch that cannot be, or no session
		}
		y.hold(t, room, from, s, o, p.Plugs)
		if t.Failed() {
			t.Fatalf("seed %d: %+v\nfrom %+v", seed, p.Moves, from)
		}
	}
	try(2355) // the way leads past an input that a cable at the front takes over for good
	for seed := range tinyRooms(t, 120) {
		try(seed)
	}
	t.Logf("%+v", y)
	if y.given == 0 || y.equal < y.given/5 {
		t.Errorf("%+v prove too little", y)
	}
}

// captured is what a room hears as a session, and the patch to begin from.
func captured(drawn rooms.Room, seed uint64) (*session.Session, patch.Patch) {
	s := drawn.Session()
	asked := capture.Session(heard.NewRoom(drawn.Whole()), drawn.Patch, "captured")
	s.Wants, s.Silent = asked.Wants, asked.Silent
	changes := drawn.Changes(6, seed)
	if seed%4 == 0 || len(changes) == 0 {
		return s, drawn.Studio.Rest
	}
	return s, changes[len(changes)-1].After
}

// Rooms made up for what the floor counts, each with the plugs that it takes.
func TestFloorCounts(t *testing.T) {
	const gear = `
studio: A room made up for this test
gear:
  tape: {outputs: {out1-4: pro-line}}
  keys: {outputs: {out1: pro-line}}
  deck: {inputs: {in1-4: pro-line}}
  desk: {inputs: {in1-2: pro-line}}
  drum: {outputs: {out1: pro-line}}
  rack: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 14, modes: {1-2: half-normal, 3: half-normal-top, 4: normal, 5-12: isolated, 13-14: half-normal}}
wiring:
  - tape/out1-4 -> main/t1-4
  - main/b1-4 -> deck/in1-4
  - keys/out1 -> main/t5
  - main/b5-6 -> desk/in1-2
  - drum/out1 -> main/t13
  - main/b14 -> rack/in1
ties:
  - main/b13 = main/t14
mults:
  - [main/t9, main/b9, main/t10, main/b10]
`
	for _, c := range []struct {
		name, session, present string
		leave                  bool
		floor                  int
	}{
		{name: "one cord for each destination without a normal", session: "connect: [keys/out1 -> desk/in1, tape/out1 -> deck/in1]", floor: 2},
		{name: "two destinations, a cord each, and one to the mult", session: "connect: [keys/out1 -> desk/in1, keys/out1 -> desk/in2]", floor: 6},
		{name: "a cord that joins outputs is pulled", session: "connect: [tape/out3 -> deck/in3]", present: "cords: [main/t4 - main/t5]", floor: 2},
		{name: "a cord to where gear must not be heard is pulled", session: "silent: [desk/in1]", present: "cords: [main/t5 - main/b5]", floor: 2},
		{name: "a cord that nobody needs is pulled", session: "connect: [tape/out1 -> deck/in1]", present: "cords: [main/t5 - main/t9]", floor: 2},
		{name: "but not where it is left", session: "connect: [tape/out1 -> deck/in1]", present: "cords: [main/t5 - main/t9]", leave: true, floor: 0},
		{name: "a cord that is in the way becomes the one that lacks", session: "connect: [keys/out1 -> desk/in1]", present: "cords: [main/t5 - main/b6]", floor: 2},
		{name: "it does not where it stays at other gear", session: "connect: [keys/out1 -> desk/in1]", present: "cords: [main/t1 - main/b6]", floor: 4},
		{name: "a cord that is in the way is left hanging for a normal", session: "silent: [deck/in1]", present: "cords: [main/t5 - main/b1]", floor: 1},
		{name: "a plug for each normal that must not hold", session: "silent: [deck/in1, deck/in2, deck/in3, deck/in4]", floor: 4},
		{name: "a tap does not break its normal", session: "connect: [keys/out1 -> deck/in3]", floor: 3},
		{name: "a cord that comes breaks its normal", session: "connect: [keys/out1 -> deck/in1]", floor: 2},
		{name: "a cord that leaves breaks its normal", session: "connect: [tape/out4 -> desk/in1]\nsilent: [deck/in4]", floor: 2},
		{name: "a plug for normals one after the other", session: "silent: [rack/in1]", floor: 1},
		{name: "a cord that leaves silences a normal, so it takes the mult", session: "connect: [tape/out4 -> deck/in4, tape/out4 -> desk/in1]", floor: 6},
		{name: "a dummy is in already", session: "silent: [deck/in1]", present: "dummies: [main/b1]", floor: 0},
		{name: "a dummy that guards nothing is pulled", session: "silent: [deck/in1]", present: "dummies: [main/b1, main/b7]", floor: 1},
		{name: "a dummy in the way is pulled", session: "connect: [tape/out1 -> deck/in1]", present: "dummies: [main/b1]", floor: 1},
		{name: "a dummy where the cord must be is pulled", session: "connect: [keys/out1 -> desk/in1]", present: "dummies: [main/b5]", leave: true, floor: 3},
		{name: "a cord that hangs has one plug in", session: "connect: [keys/out1 -> deck/in1]", present: "cords: [{ends: [main/b1]}]", floor: 1},
		{name: "unless it hangs where it is of no use", session: "connect: [keys/out1 -> deck/in1]\nsilent: [deck/in2]", present: "cords: [{ends: [main/b2]}]", floor: 2},
	} {
		studio, _, problems := text.ReadStudio("studio.yaml", []byte(gear))
		if problems.Errors() {
			t.Fatal(problems)
		}
		s, _, problems := text.ReadSession("s.yaml", []byte("session: s\n"+c.session), studio, nil)
		if problems.Errors() {
			t.Fatalf("%s: %v", c.name, problems)
		}
		var from patch.Patch
		if c.present != "" {
			from, _, problems = text.ReadPatch("p.yaml", []byte("patch:\n  "+strings.ReplaceAll(c.present, "\n", "\n  ")), studio)
			if problems.Errors() {
				t.Fatalf("%s: %v", c.name, problems)
			}
		}
		o := planner.Options{Prefer: plan.PreferFewest, LeaveCords: c.leave}
		room := heard.NewRoom(studio)
		floor, err := planner.Floor(room, from, s, o)
		if err != nil {
			t.Fatal(err)
		}
		p, err := planner.Find(t.Context(), room, from, s, o)
		if err != nil {
			t.Fatal(err)
		}
		if floor != c.floor || !p.Given || p.Plugs != c.floor {
			t.Errorf("%s: a floor of %d, a plan of %d, %v, not %d", c.name, floor, p.Plugs, p.Missing, c.floor)
		}
	}
}
