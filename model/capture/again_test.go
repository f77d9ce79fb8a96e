package capture_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/simulators/rooms"
)

// A capture, written as a file and read again without a word against it, and
// planned from an empty bay, is heard as the patch was: at every input.
func TestACaptureIsHeardAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		made := rooms.DrawUpTo(24, rapid.Uint64().Draw(t, "seed"))
		room := heard.NewRoom(made.Studio)
		s := reread(t, made, capture.Within(room, made.Session(), made.Patch, "now"))
		if s.Notes != "" {
			t.Skip("no session can ask for all of it")
		}
		p, err := planner.Target(t.Context(), plan.Request{Studio: made.Studio, Session: s})
		if err != nil {
			t.Fatal(err)
		}
		if !p.Given {
			t.Fatalf("no plan for what %+v gives: %+v", made.Patch, p.Missing)
		}
		room = room.For(s, made.Patch)
		was, is := room.Hear(made.Patch), room.Hear(patch.Patch(p.Target))
		for _, in := range inputs(made) {
			if !slices.Equal(was.Hears(in), is.Hears(in)) {
				t.Fatalf("%s heard %v with %+v, and hears %v with %+v", in, was.Hears(in), made.Patch, is.Hears(in), p.Target)
			}
		}
	})
}

// reread is a session after it was a file.
func reread(t *rapid.T, made rooms.Room, s *session.Session) *session.Session {
	src := text.WriteSession(*s, text.InStudio(made.Studio))
	read, _, problems := text.ReadSession("now.yaml", src, made.Studio, nil)
	if len(problems) > 0 {
		t.Fatalf("%v in\n%s", problems, src)
	}
	return read
}

func inputs(made rooms.Room) []name.Point {
	var all []name.Point
	for _, g := range made.Whole().Gear {
		for _, p := range g.Ports {
			if p.Direction.String() == "input" {
				all = append(all, p.Point)
			}
		}
	}
	return all
}
