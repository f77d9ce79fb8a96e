package order_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/order"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// boathouse is made up for these tests. On the bay: 1 to 4 the tape, half-normal
// to the deck; 5 and 6 two channels of a box; 7 the loudspeakers, normalled from
// the mix of the desk; 8 the headphones; 9 and 10 the desk's inputs; 11 a
// microphone before an input with phantom power; 12 and 13 parallel, for taps.
const boathouse = `
studio: A room for steps
gear:
  tape: {outputs: {out1-4: pro-line}}
  deck: {inputs: {in1-4: pro-line}}
  box: {channels: 2, line: pro-line}
  desk: {inputs: {in1-2: pro-line}, outputs: {mix1: pro-line}, can-pass: [in1-2 => mix1]}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
  phones: {inputs: {in1: pro-line}, role: headphone}
  radio: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: shade/out2}}
  voice: {outputs: {out1: microphone}}
  amplifier: {inputs: {mic1: {line: microphone, phantom: true}}}
  recorder: {inputs: {in1-2: pro-line}}
bays:
  main:
    pairs: 16
    modes: {1-4: half-normal, 5-6: isolated, 7: normal, 8: isolated, 9-10: isolated, 11: normal, 12-13: parallel, 14-16: isolated}
matrices:
  grid: {inputs: 4, outputs: 2, kind: contacts}
  shade: {inputs: 2, outputs: 2, kind: amplifiers}
wiring:
  - tape/out1-4 -> main/t1-4
  - main/b1-4 -> deck/in1-4
  - box/out1-2 -> main/t5-6
  - main/b5-6 -> box/in1-2
  - desk/mix1 -> main/t7
  - main/b7 -> speakers/in1
  - main/b8 -> phones/in1
  - main/b9-10 -> desk/in1-2
  - voice/out1 -> main/t11
  - main/b11 -> amplifier/mic1
  - main/b14-16 -> grid/in1-3
  - grid/out1-2 -> recorder/in1-2
  - main/t14-15 -> shade/in1-2
  - shade/out2 -> radio/in1
`

// Each rule of a good assistant, on its own. A step is written with the steps
// that it waits for behind it.
func TestRules(t *testing.T) {
	for _, c := range []struct {
		name, from, session string
		want                []string
	}{
		{"a pull begins at the destination", "cords: [main/t1 - main/b5]", "", []string{"person pull main/b5 main/t1"}},
		{"also where it is written the other way round", "cords: [main/b5 - main/t1]", "", []string{"person pull main/b5 main/t1"}},
		{"a plug begins at the source", "", "connect: [tape/out2 -> box/in1]", []string{"person plug main/t2 main/b5"}},
		{"a chain goes downstream, a pull first", "cords: [main/t2 - main/b2]", "connect: [tape/out1 -> box/1 -> box/2 -> deck/in3]", []string{
			"person pull main/b2 main/t2",
			"person plug main/t1 main/b5",
			"person plug main/t5 main/b6",
			"person plug main/t6 main/b3",
		}},
		{"one chain after the other", "", "connect: [tape/out2 -> box/2 -> deck/in1, tape/out3 -> box/1 -> deck/in4]", []string{
			"person plug main/t2 main/b6",
			"person plug main/t6 main/b1",
			"person plug main/t3 main/b5",
			"person plug main/t5 main/b4",
		}},
		{"a relay breaks before it makes", "cords: [main/t1 - main/b14, main/t2 - main/b15]\ncrosspoints: {grid: {out1: in1}}",
			"connect: [tape/out2 -> recorder/in1, tape/out1 -> recorder/in2]", []string{
				"grid switch out1:in2(in1) out2:in1",
			}},
		{"what a matrix switches in a row is one step", "cords: [main/t1 - main/b14, main/t2 - main/b15]",
			"connect: [tape/out1 -> recorder/in1, tape/out2 -> recorder/in2]", []string{"grid switch out1:in1 out2:in2"}},
		{"loudspeakers are down while a plug moves", "", "connect: [tape/out1 -> speakers/in1]", []string{
			"person mute speakers/in1",
			"person plug main/t1 main/b7 <1",
			"person unmute speakers/in1 <2",
		}},
		{"also behind a desk that can let it through", "", "connect: [tape/out1 -> desk/in1]", []string{
			"person mute speakers/in1",
			"person plug main/t1 main/b9 <1",
			"person unmute speakers/in1 <2",
		}},
		{"headphones likewise", "", "connect: [tape/out1 -> phones/in1]", []string{
			"person mute phones/in1",
			"person plug main/t1 main/b8 <1",
			"person unmute phones/in1 <2",
		}},
		{"what is cut is muted first, and stays so", "", "cut: [speakers]\nconnect: [tape/out1 -> desk/in1]", []string{
			"person mute speakers/in1",
			"person plug main/t1 main/b9 <1",
		}},
		{"an output of a matrix mutes", "cords: [main/t1 - main/t14]\ncrosspoints: {shade: {out2: in1}}", "connect: [tape/out2 -> radio/in1]", []string{
			"shade switch out2:off(in1)",
			"person move main/t14 main/t1 to main/t14 main/t2 <1",
			"shade switch out2:in1 <2",
		}},
		{"phantom power is off while plugs would short it", "cords: [main/t1 - main/b11]", "", []string{
			"person phantom-off amplifier/mic1",
			"person pull main/b11 main/t1 <1",
			"person phantom-on amplifier/mic1 <2",
		}},
		{"and stays off where a line comes in", "cords: [main/t1 - main/b11]", "connect: [tape/out2 -> amplifier/mic1]", []string{
			"person phantom-off amplifier/mic1",
			"person move main/b11 main/t1 to main/b11 main/t2 <1",
		}},
		{"what is far apart waits for nothing", "", "connect: [tape/out1 -> box/in1, tape/out3 -> deck/in4]", []string{
			"person plug main/t1 main/b5",
			"person plug main/t3 main/b4",
		}},
		{"what meets at a jack without harm waits for nothing", "cords: [main/t1 - main/b5]", "connect: [tape/out2 -> deck/in1, tape/out1 -> box/in2]", []string{
			"person plug main/t2 main/b1",
			"person move main/t1 main/b5 to main/t1 main/b6",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := written(t, boathouse, c.from, c.session)
			if !w.plan.Given {
				t.Fatal(w.plan.Missing)
			}
			w.arrange(t, 0)
			w.check(t, 0, tally{})
			if got := lines(w.plan.Steps); !slices.Equal(got, c.want) {
				t.Errorf("the steps are\n%s\nnot\n%s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
			}
		})
	}
}

// written is the way to a session in a studio; an empty one is back to rest.
func written(t *testing.T, studio, from, body string) way {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(studio))
	if problems.Errors() {
		t.Fatal(problems)
	}
	w := way{room: heard.NewRoom(s)}
	if from != "" {
		if w.from, _, problems = text.ReadPatch("patch.yaml", []byte("patch:\n  "+strings.ReplaceAll(from, "\n", "\n  ")), s); problems.Errors() {
			t.Fatal(problems)
		}
	}
	if body != "" {
		if w.session, _, problems = text.ReadSession("s.yaml", []byte("session: s\n"+body), s, nil); problems.Errors() {
			t.Fatal(problems)
		}
	}
	var err error
	if w.plan, err = planner.Target(t.Context(), plan.Request{Studio: s, From: w.from, Session: w.session}); err != nil {
		t.Fatal(err)
	}
	w.moves = slices.Clone(w.plan.Moves)
	return w
}

func lines(steps []plan.Step) []string {
	var all []string
	for _, s := range steps {
		line := show(s)
		for _, a := range s.After {
			line += " <" + a
		}
		all = append(all, line)
	}
	return all
}

// byHand is a plan of moves that no planner was asked for.
func byHand(w way, to patch.Patch, s *session.Session, moves ...plan.Move) way {
	w.session = s
	w.plan = &plan.Plan{Session: "s", Given: true, Moves: moves, Target: plan.Target(to)}
	for _, m := range moves {
		w.plan.Plugs += m.Plugs()
	}
	w.moves = slices.Clone(moves)
	return w
}

func points(t *testing.T, texts ...string) []name.Point {
	t.Helper()
	var all []name.Point
	for _, text := range texts {
		p, err := name.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	return all
}

// Two cords that exchange their ends cannot each move in one: one comes out and
// hangs before. No more plugs are handled.
func TestExchange(t *testing.T) {
	w := written(t, boathouse, "cords: [main/t1 - main/b5, main/t2 - main/b6]", "connect: [tape/out1 -> box/in2, tape/out2 -> box/in1]")
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	want := []string{
		"person move main/b6 main/t2 to main/b6",
		"person move main/b5 main/t1 to main/b5 main/t2 <1",
		"person move main/b6 to main/b6 main/t1 <2",
	}
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are\n%s", strings.Join(got, "\n"))
	}
}

const rings = `
studio: A room with a ring
gear:
  software: {outputs: {out1: pro-line}, inputs: {in1: pro-line}}
  tape: {outputs: {out1: pro-line}}
  deck: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
wiring:
  - software/out1 -> main/t1
  - main/b1 -> software/in1
  - tape/out1 -> main/t2
  - main/b2 -> deck/in1
mults: [[main/t3, main/b3, main/t4]]
`

// While the software still carries what it did before, what would ring is
// pulled before the rest is plugged, whatever its place.
func TestLoopsUnderWhatTheSoftwareCarriedBefore(t *testing.T) {
	w := written(t, rings, "cords: [main/t2 - main/t3]", "connect: [software/out1 -> software/in1]")
	if !w.plan.Given {
		t.Fatal(w.plan.Missing)
	}
	inside := studio.Pass{In: points(t, "software/in1")[0], Out: points(t, "software/out1")[0]}
	w.previous = []studio.Pass{inside}
	w.arrange(t, 0)
	r := w.replay(w.plan.Steps, true)
	if len(r.wrong) > 0 {
		t.Error(r.wrong)
	}
	// The loop is in the new patch itself under the former inside; so the software is
	// changed over first, and nothing is said to go wrong on the way.
	for i, s := range w.plan.Steps {
		if first := s.Do == plan.ChangeOver; first != (i == 0) || !first && len(s.After) == 0 {
			t.Errorf("step %d is %s", i, show(s))
		}
		if strings.Contains(s.Because, "loop") {
			t.Errorf("%s: %s", show(s), s.Because)
		}
	}
	// Where only the way there closes it, the order keeps it open.
	from := patch.Patch{Cords: []patch.Cord{{A: points(t, "main/t1")[0], B: points(t, "main/t3")[0]}, {A: points(t, "main/b2")[0], B: points(t, "main/b3")[0]}}}
	to := patch.Patch{Cords: []patch.Cord{{A: points(t, "main/t2")[0], B: points(t, "main/t3")[0]}, {A: points(t, "main/b1")[0], B: points(t, "main/t4")[0]}, {A: points(t, "main/b2")[0], B: points(t, "main/b3")[0]}}}
	w.from = from
	w = byHand(w, to, &session.Session{Name: "s"},
		plan.Move{Do: plan.Plug, Ends: points(t, "main/t4", "main/b1")},
		plan.Move{Do: plan.MoveEnd, Ends: points(t, "main/t3", "main/t1"), To: points(t, "main/t3", "main/t2")})
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	want := []string{"person change-over", "person move main/t3 main/t1 to main/t3 main/t2", "person plug main/t4 main/b1 <2"}
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are\n%s", strings.Join(got, "\n"))
	}
}

// A kept way that could be carried on before its old way is broken is.
func TestKeptIsNotInterrupted(t *testing.T) {
	w := written(t, boathouse, "cords: [main/t1 - main/b8, main/t2 - main/t5]", "keep: [tape/out1 -> phones/in1]\nconnect: [tape/out2 -> box/in1]")
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	r := w.replay(w.plan.Steps, true)
	if len(r.limits.kept) != 1 || len(r.breaks) > 0 {
		t.Errorf("kept %v; %v", r.limits.kept, r.breaks)
	}
	for _, s := range w.plan.Steps {
		if strings.Contains(s.Because, "interrupted") {
			t.Errorf("%s: %s", show(s), s.Because)
		}
	}
}

// Where a kept way must be broken, the step says so.
func TestKeptThatMustBreakIsSaid(t *testing.T) {
	w := written(t, boathouse, "cords: [main/t1 - main/b8]", "keep: [tape/out1 -> phones/in1]")
	to := patch.Patch{Cords: []patch.Cord{{A: points(t, "main/t12")[0], B: points(t, "main/b8")[0]}, {A: points(t, "main/t1")[0], B: points(t, "main/b12")[0]}}}
	w = byHand(w, to, w.session,
		plan.Move{Do: plan.MoveEnd, Ends: points(t, "main/b8", "main/t1"), To: points(t, "main/b8", "main/t12")},
		plan.Move{Do: plan.Plug, Ends: points(t, "main/t1", "main/b12")})
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	if !slices.ContainsFunc(w.plan.Steps, func(s plan.Step) bool { return strings.Contains(s.Because, "tape/out1 -> phones/in1") }) {
		t.Errorf("no step says it: %v", w.plan.Steps)
	}
}

// With one cord and one dummy owned, what is plugged waits for what is pulled.
func TestStockIsWaitedFor(t *testing.T) {
	w := written(t, boathouse+"cords: {stock: {100 cm: 1}}\ndummies: 1\n", "cords: [main/t1 - main/b5]\ndummies: [main/b2]", "connect: [tape/out3 -> box/in2]\nsilent: [deck/in4]")
	if !w.plan.Given {
		t.Fatal(w.plan.Missing)
	}
	var err error
	if w.plan, err = planner.Make(t.Context(), plan.Request{Studio: w.room.Studio(), From: w.from, Session: w.session}); err != nil {
		t.Fatal(err)
	}
	w.check(t, 0, tally{})
	steps := map[plan.Do]plan.Step{}
	for _, s := range w.plan.Steps {
		steps[s.Do] = s
	}
	for plug, pull := range map[plan.Do]plan.Do{plan.Plug: plan.Pull, plan.PlugDummy: plan.PullDummy} {
		if !slices.Contains(steps[plug].After, steps[pull].ID) {
			t.Errorf("%s waits for %v, not for %s, which brings what it needs", plug, steps[plug].After, steps[pull].ID)
		}
	}
}

// Of two cords that are pulled, the one that is plugged next is pulled last:
// it is in the hand already. By their places the other would be.
func TestACordJustPulledIsUsedNext(t *testing.T) {
	w := written(t, boathouse, "cords: [{ends: [main/t1, main/b5], length: 100 cm}, {ends: [main/t2, main/b6], length: 60 cm}]", "connect: [tape/out3 -> deck/in4]")
	long, short := 100*measure.Centimetre, 60*measure.Centimetre
	at := points(t, "main/t3", "main/b4")
	to := patch.Patch{Cords: []patch.Cord{{A: at[0], B: at[1], Length: long}}}
	w = byHand(w, to, w.session,
		plan.Move{Do: plan.Pull, Ends: points(t, "main/t1", "main/b5"), Length: long},
		plan.Move{Do: plan.Pull, Ends: points(t, "main/t2", "main/b6"), Length: short},
		plan.Move{Do: plan.Plug, Ends: at, Length: long})
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	want := []string{"person pull main/b6 main/t2", "person pull main/b5 main/t1", "person plug main/t3 main/b4"}
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are\n%s", strings.Join(got, "\n"))
	}
}

// The lists of a plan are never null, even where there is nothing to do.
func TestListsAreNeverNull(t *testing.T) {
	w := written(t, boathouse, "", "")
	w.arrange(t, 0)
	made, err := json.Marshal(w.plan)
	if err != nil {
		t.Fatal(err)
	}
	w = written(t, boathouse, "cords: [main/t1 - main/b5]", "connect: [tape/out1 -> speakers/in1]")
	w.arrange(t, 0)
	busy, err := json.Marshal(w.plan)
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{string(made), string(busy)} {
		if strings.Contains(text, "null") {
			t.Errorf("something is null: %s", text)
		}
	}
}

// A plan with a step where a move belongs is refused.
func TestNoMove(t *testing.T) {
	w := written(t, boathouse, "", "")
	w.moves = []plan.Move{{Do: plan.Mute, Ends: points(t, "speakers/in1")}}
	if _, _, err := order.Steps(w.task()); err == nil || !strings.Contains(err.Error(), "mute") {
		t.Errorf("%v", err)
	}
}
