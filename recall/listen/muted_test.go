package listen_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/recall/keep"
	"bayhand/recall/listen"
)

// A matrix mutes a loudspeaker only while it answers and its output was read back as
// off: what was sent, or is not known, mutes nothing. Then every output may play.
func TestOnlyWhatIsReadBackMutes(t *testing.T) {
	src := strings.Replace(small, "role: loudspeaker", "role: loudspeaker, mute: {by: grid/out1}", 1)
	src = strings.Replace(src, "bays:", "matrices:\n  grid: {inputs: 1, outputs: 1}\nbays:", 1)
	src = strings.Replace(src, "interface/out5 -> speakers/in1", "interface/out5 -> grid/in1\n  - grid/out1 -> speakers/in1", 1)
	told := cords([2]int{2, 1})
	h := newHearing(t, src, told, told)
	out, in := name.At("grid", "out", 1), name.At("grid", "in", 1)
	for _, c := range []struct {
		what    string
		answers bool
		known   []keep.KnownCrosspoint
		mutes   bool
	}{
		{"read back as off", true, []keep.KnownCrosspoint{{Output: out, Fact: keep.Fact{How: keep.Read}}}, true},
		{"off as it was sent", true, []keep.KnownCrosspoint{{Output: out, Fact: keep.Fact{How: keep.Sent}}}, false},
		{"on", true, []keep.KnownCrosspoint{{Output: out, Input: in, Fact: keep.Fact{How: keep.Read}}}, false},
		{"off, of a matrix that does not answer", false, []keep.KnownCrosspoint{{Output: out, Fact: keep.Fact{How: keep.Read}}}, false},
		{"nothing is known", true, nil, false},
	} {
		status := keep.Status{Matrices: []keep.MatrixStatus{{Name: "grid", Answers: c.answers}}, Known: keep.Known{Crosspoints: c.known}}
		muted := listen.Silences(h.studio, status)
		if (len(muted) == 1) != c.mutes {
			t.Errorf("%s: %v", c.what, muted)
		}
		none := &session.Session{Program: -1}
		p, err := listen.Prepare(listen.Request{Room: heard.NewRoom(h.studio).For(none, patch.Patch{}), Session: none, Muted: muted})
		if err != nil {
			t.Fatal(err)
		}
		if (len(p.Guarded) == 0) != c.mutes || (len(p.Driven) == 5) != c.mutes {
			t.Errorf("%s: %v is guarded, and %d outputs play", c.what, p.Guarded, len(p.Driven))
		}
	}
}

// A loudspeaker that an output mutes which is switched together with another is muted by
// both: it is silent when both were read back as off, and both are switched meanwhile.
func TestOutputsThatAreSwitchedTogetherMuteTogether(t *testing.T) {
	src := strings.Replace(small, "role: loudspeaker", "role: loudspeaker, mute: {by: grid/out1}", 1)
	src = strings.Replace(src, "bays:", "matrices:\n  grid: {inputs: 2, outputs: 2, stereo: [[out1, out2]], device: {description: scpi-switch, link: tcp:127.0.0.1:1}}\nbays:", 1)
	src = strings.Replace(src, "interface/out5 -> speakers/in1", "interface/out5 -> grid/in1\n  - interface/out4 -> grid/in2\n  - grid/out2 -> recorder/in1\n  - grid/out1 -> speakers/in1", 1)
	src = strings.Replace(src, "gear:", "gear:\n  recorder: {inputs: {in1: pro-line}}", 1)
	told := cords([2]int{2, 1})
	h := newHearing(t, src, told, told)
	left, right := name.At("grid", "out", 1), name.At("grid", "out", 2)
	off := func(p name.Point) keep.KnownCrosspoint {
		return keep.KnownCrosspoint{Output: p, Fact: keep.Fact{How: keep.Read}}
	}
	for _, c := range []struct {
		known []keep.KnownCrosspoint
		mutes bool
	}{{[]keep.KnownCrosspoint{off(left)}, false}, {[]keep.KnownCrosspoint{off(left), off(right)}, true}} {
		status := keep.Status{Matrices: []keep.MatrixStatus{{Name: "grid", Answers: true, Driven: true, ReadsBack: true}}, Known: keep.Known{Crosspoints: c.known}}
		if muted := listen.Silences(h.studio, status); (len(muted) == 1) != c.mutes {
			t.Errorf("with %v read, %v is muted", c.known, muted)
		}
		if may := listen.Switchable(h.studio, status); may(left) || may(right) { // since one mutes
			t.Error("outputs that mute a loudspeaker may be switched")
		}
	}
	none := &session.Session{Program: -1}
	p, err := listen.Prepare(listen.Request{Room: heard.NewRoom(h.studio).For(none, patch.Patch{}), Session: none, Muted: listen.Mutable(h.studio, nil)})
	if err != nil {
		t.Fatal(err)
	}
	if beside := p.Beside(); len(beside) > 0 {
		t.Errorf("%v loses signal, and heard none", beside)
	}
	playing := patch.Patch{Crosspoints: []patch.Crosspoint{{Output: left, Input: name.At("grid", "in", 1)}, {Output: right, Input: name.At("grid", "in", 2)}}}
	if p, err := listen.Prepare(listen.Request{Room: heard.NewRoom(h.studio).For(none, playing), Session: none, Patch: playing, Muted: listen.Mutable(h.studio, nil)}); err != nil {
		t.Error(err)
	} else if beside := p.Beside(); !slices.Equal(beside, []name.Point{name.At("recorder", "in", 1)}) {
		t.Errorf("%v loses signal, not the recorder", beside)
	}
	if needs := p.Needs(); len(needs) != 2 || needs[0].Output != left || needs[1].Output != right {
		t.Errorf("%v is switched meanwhile, not both outputs", needs)
	}
}
