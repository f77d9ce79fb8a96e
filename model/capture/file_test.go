package capture_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/capture"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/simulators/rooms"
)

// A captured session, written as a file and read again, asks for the same.
func TestTheFileAsksForTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		made := rooms.Draw(rapid.Uint64().Draw(t, "seed"))
		s := capture.Session(heard.NewRoom(made.Studio), made.Patch, "now")
		src := text.WriteSession(*s, text.InStudio(made.Studio))
		read, _, problems := text.ReadSession("now.yaml", src, made.Studio, nil)
		if len(problems) > 0 {
			t.Fatalf("%v in\n%s", problems, src)
		}
		if was, is := asked(s), asked(read); !slices.Equal(was, is) {
			t.Fatalf("asked for %v, and after reading for %v:\n%s", was, is, src)
		}
		silent := slices.SortedFunc(slices.Values(read.Silent), name.Point.Compare)
		if !slices.Equal(slices.SortedFunc(slices.Values(s.Silent), name.Point.Compare), silent) {
			t.Fatalf("silent %v, and after reading %v:\n%s", s.Silent, read.Silent, src)
		}
	})
}

func asked(s *session.Session) []string {
	var texts []string
	for _, w := range s.Wants {
		texts = append(texts, w.Source.String()+" -> "+w.Destination.String())
	}
	slices.Sort(texts)
	return texts
}

func TestHowAFileReads(t *testing.T) {
	s := studioA()
	s.Gear = append(s.Gear, plate())
	s.Bays = append(s.Bays, studio.Bay{Name: "far", Modes: slices.Repeat([]studio.Mode{studio.Isolated}, 2)})
	s.Wires = append(s.Wires,
		studio.Wire{From: point("plate/out1"), To: point("far/t1")},
		studio.Wire{From: point("plate/out2"), To: point("far/t2")},
		studio.Wire{From: point("far/b1"), To: point("plate/in1")})
	for _, c := range []struct{ patch, want string }{
		{
			patch: "patch: {cords: [main/t3 - main/b7, main/t4 - main/b8, main/t5 - main/b1, main/t6 - main/b2]}",
			want: `session: now
connect:
  - interface/out3-4 -> squeeze/1-2 -> speakers/in1-2
patch:
  cords:
    - main/t3 - main/b7
    - main/t4 - main/b8
    - main/t5 - main/b1
    - main/t6 - main/b2
`,
		},
		{
			patch: "patch: {cords: [main/t3 - main/b9, main/t7 - main/b1]}",
			want: `session: now
connect:
  - interface/out3 -> echo -> speakers/in1
patch:
  cords:
    - main/t3 - main/b9
    - main/t7 - main/b1
`,
		},
		{
			// A mono plate with stereo outputs.
			patch: "patch: {cords: [main/t3 - far/b1, far/t1 - main/b5, far/t2 - main/b6]}",
			want: `session: now
connect:
  - interface/out3 -> plate -> interface/in1-2
patch:
  cords:
    - far/t1 - main/b5
    - far/t2 - main/b6
    - main/t3 - far/b1
`,
		},
		{
			// Only one of its outputs is used: no hop says that.
			patch: "patch: {cords: [main/t3 - far/b1, far/t2 - main/b6]}",
			want: `session: now
connect:
  - interface/out3 -> plate/in1
  - plate/out2 -> interface/in2
patch:
  cords:
    - far/t2 - main/b6
    - main/t3 - far/b1
`,
		},
	} {
		p, _, problems := text.ReadPatch("patch.yaml", []byte(c.patch), s)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		got := string(text.WriteSession(*capture.Session(heard.NewRoom(s), p, "now"), text.InStudio(s)))
		if got != c.want {
			t.Errorf("captured as\n%s\nnot\n%s", got, c.want)
		}
	}
}

func plate() studio.Gear {
	g := studio.Gear{Name: "plate", Ports: []studio.Port{{Point: point("plate/in1"), Direction: studio.Input}}}
	for _, out := range []string{"plate/out1", "plate/out2"} {
		g.Ports = append(g.Ports, studio.Port{Point: point(out), Direction: studio.Output})
		g.Passes = append(g.Passes, studio.Pass{In: point("plate/in1"), Out: point(out)})
	}
	return g
}
