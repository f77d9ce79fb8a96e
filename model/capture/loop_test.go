package capture_test

import (
	"slices"
	"testing"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/simulators/rooms"
)

const loopStudio = `studio: Two boxes that can feed each other
gear:
  tape: {inputs: {in1-2: pro-line}, outputs: {out1-2: pro-line}}
  box: {channels: 1, line: pro-line}
  plate: {channels: 1, line: pro-line}
  bus: {inputs: {in1: pro-line}, outputs: {mix1: pro-line, alt1: pro-line}, passes: [in1 => mix1, in1 => alt1], select: [[mix1, alt1]]}
bays:
  main: {pairs: 7, modes: {1-2: half-normal, 3-6: parallel, 7: isolated}}
wiring:
  - tape/out1-2 -> main/t1-2
  - main/b1-2 -> tape/in1-2
  - box/out1 -> main/t3
  - main/b4 -> box/in1
  - plate/out1 -> main/t5
  - main/b6 -> plate/in1
  - bus/alt1 -> main/t7
  - main/b7 -> bus/in1
`

// What closes a loop that is not allowed is left out and said, and so the file is read
// without a word against it. What the loop has nothing to do with stays.
func TestALoopIsLeftOut(t *testing.T) {
	s := readStudio(t, loopStudio)
	for _, c := range []struct {
		name    string
		patch   patch.Patch
		allowed string
		kept    patch.Patch
		note    string
	}{
		{"a cord", cords("main/t1", "main/b2", "main/t3", "main/t4"), "", cords("main/t1", "main/b2"),
			"captured with a loop through box/in1, box/out1; what closes it was left out: main/t3 - main/t4; if it is meant, put that back and write allow: [loop box/in1]"},
		{"any of two cords", cords("main/t3", "main/t6", "main/t5", "main/t4", "main/t1", "main/b2"), "", cords("main/t1", "main/b2"),
			"captured with a loop through box/in1, box/out1, plate/in1, plate/out1; what closes it was left out: main/t3 - main/t6, main/t5 - main/t4; if it is meant, put that back and write allow: [loop box/in1]"},
		{"two cords at once", cords("main/t3", "main/t4", "main/b3", "main/b4"), "", patch.Patch{},
			"captured with a loop through box/in1, box/out1; what closes it was left out: main/b3 - main/b4, main/t3 - main/t4; if it is meant, put that back and write allow: [loop box/in1]"},
		{"one that is meant", cords("main/t3", "main/t4"), "box/in1", cords("main/t3", "main/t4"), ""},
		{"by a switch that must be turned", cords("main/t7", "main/b7"), "", patch.Patch{},
			"captured with a loop through bus/in1, bus/alt1; what closes it was left out: main/t7 - main/b7; if it is meant, put that back and write allow: [loop bus/in1]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := &session.Session{}
			if c.allowed != "" {
				in.Loops = []name.Point{point(c.allowed)}
			}
			made := capture.Within(heard.NewRoom(s), in, c.patch, "now")
			want := c.kept.Clone()
			want.Sort()
			if !slices.Equal(made.Patch.Cords, want.Cords) {
				t.Errorf("keeps %v, not %v", made.Patch.Cords, want.Cords)
			}
			if made.Notes != c.note {
				t.Errorf("noted %q, not %q", made.Notes, c.note)
			}
			if _, _, problems := text.ReadSession("now.yaml", text.WriteSession(*made, text.InStudio(s)), s, nil); len(problems) > 0 {
				t.Error(problems)
			}
		})
	}
}

// No capture keeps a loop that some plug or crosspoint closes.
func TestACaptureClosesNoLoop(t *testing.T) {
	seen := 0
	for seed := range uint64(300) {
		made := rooms.DrawUpTo(16, seed)
		room := heard.NewRoom(made.Whole())
		s := capture.Session(room, made.Patch, "now")
		bare := room.For(s).Hear(patch.Patch{})
		if len(room.For(s).Hear(made.Patch).Loops(nil, nil)) > len(bare.Loops(nil, nil)) {
			seen++
		}
		for _, l := range room.For(s).Hear(*s.Patch).Loops(nil, nil) {
			if !wired(bare, l.Through, 0) && !wired(bare, l.Through, 1) {
				t.Errorf("seed %d: %+v keeps a loop through %v", seed, *s.Patch, l.Through)
			}
		}
	}
	if seen < 20 {
		t.Errorf("loops were closed in %d rooms: not a test", seen)
	}
}

// wired says whether the ports along a loop are joined two by two, from one of them on, in a
// room with nothing in: it is closed by what is soldered and normalled.
func wired(bare *heard.State, through []name.Point, from int) bool {
	for i := from; i < from+len(through); i += 2 {
		if !bare.Joined(through[i%len(through)], through[(i+1)%len(through)]) {
			return false
		}
	}
	return true
}
