package keep_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	modeltext "bayhand/model/text"
	"bayhand/recall/keep"
)

const visitedRoom = `studio: A room with a floor box
gear:
  desk: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 6, modes: isolated}
boxes:
  floor: {jacks: 2, jack: xlr}
wiring:
  - desk/out1-2 -> main/t1-2
  - main/b1-2 -> desk/in1-2
ties: [floor/1-2 = main/t5-6]
`

var visits = map[string]string{
	"box": "session: Box\nguests:\n  keys: {label: Old keys, outputs: {out1: home-line}}\n" +
		"  di: {label: DI box, inputs: {feed1: home-line}, outputs: {out1: microphone}, passes: [feed1 => out1], loose: true, at: floor}\n" +
		"connect:\n  - keys/out1 -> di/feed1\n  - di/out1 -> desk/in1\n",
	"tape":  "session: Tape\nguests:\n  player: {label: Tape, inputs: {line1: pro-line}, at: floor}\nconnect:\n  - desk/out1 -> player/line1\n",
	"plain": "session: Plain\nconnect:\n  - desk/out2 -> desk/in2\n",
}

// A guest's leads are what they were after its session too: what drives and what
// listens, and what it is called, until the last of them is out.
func TestGuestsAreRemembered(t *testing.T) {
	onRoom(t, visitedRoom, visits, func(b *bench) {
		b.recall("box")
		s := b.allByHand()
		if len(s.Guests) != 2 || len(s.Known.Leads) != 2 {
			t.Fatalf("here are %+v with %+v", s.Guests, s.Known.Leads)
		}
		s = b.recall("plain")
		pulled := 0
		for _, step := range s.Left {
			if step.Do == plan.PullLead {
				pulled++
			}
		}
		if pulled != 2 || slices.ContainsFunc(s.Problems, func(p keep.Problem) bool { return p.Code == "unknown-place" }) {
			t.Errorf("left is %s, with %v", steps(s.Left), s.Problems)
		}
		for _, g := range s.Guests {
			if g.Name == "di" && (g.Label != "DI box" || !g.Loose || g.Ports[0].Input || !g.Ports[1].Input || g.Ports[0].Kind != "mic") {
				t.Errorf("remembered is %+v", g)
			}
		}
		b.end()
		config := b.config()
		config.Plan = planner.Make
		b.startWith(config)
		if s = b.status(); len(s.Guests) != 2 {
			t.Errorf("after a restart %+v are here", s.Guests)
		}
		if s = b.allByHand(); len(s.Guests) != 0 || len(s.Known.Leads) != 0 {
			t.Errorf("at the end %+v are here with %+v", s.Guests, s.Known.Leads)
		}
		// What is called line is an input since its session said so.
		b.recall("tape")
		b.allByHand()
		s = b.recall("plain")
		if len(s.Guests) != 1 || !s.Guests[0].Ports[0].Input {
			t.Errorf("of the tape is remembered %+v", s.Guests)
		}
	})
}

// Two sessions that were drawn, in two rooms: to who only looks, at the page, for a plan
// or a sheet, the second one goes the steps that its recall asks for, or is refused as
// it is.
func TestWhoLooksSeesTheRecall(t *testing.T) {
	refused, asks := 0, 0
	for seed := range uint64(12) {
		draw := rand.New(rand.NewPCG(seed, 12))
		onTwoRooms(t, func(b *bench) {
			for _, called := range []string{"first", "second"} {
				s, _, problems := modeltext.ReadSession(called+".yaml", []byte(drawnSession(draw, called)), b.studio, nil)
				if problems.Errors() {
					t.Fatal(problems)
				}
				s.Name = called
				b.set(func() {
					sessions := maps.Clone(b.files.Sessions) // the keeper reads the other
					sessions[called] = s
					b.files.Sessions = sessions
				})
			}
			if _, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "first", Options: keep.RecallOptions{Partly: true}}); err != nil {
				t.Fatal(err)
			}
			if seed%2 == 0 {
				b.allByHand()
			}
			read := func(called string) *session.Session { return b.files.Sessions[called] }
			preview, err := keep.NewPreview(b.studio, b.status(), "second", keep.RecallOptions{}, read)
			var shown *plan.Plan
			if err == nil {
				shown, err = preview.Plan(func(ask plan.Request) (*plan.Plan, error) { return planner.Make(t.Context(), ask) })
			}
			got, errRecall := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "second"})
			if shown != nil && !shown.Given {
				return // who looks sees what cannot be had; the recall is refused with the same
			}
			if keep.Code(err) != keep.Code(errRecall) {
				t.Errorf("seed %d: %v to who looks, %v to who recalls", seed, err, errRecall)
			}
			if err != nil || errRecall != nil {
				refused++
				return
			}
			asks += len(got.Left)
			if steps(shown.Steps) != steps(got.Left) {
				t.Errorf("seed %d: %s to who looks, %s to who recalls", seed, steps(shown.Steps), steps(got.Left))
			}
		})
	}
	if refused == 0 || asks < 10 {
		t.Errorf("%d were refused, and %d steps asked for", refused, asks)
	}
}

// drawnSession connects some of one room, or now and then of both.
func drawnSession(draw *rand.Rand, called string) string {
	rooms := []string{"desk", "stage"}
	from, to := rooms[draw.IntN(2)], ""
	if to = from; draw.IntN(4) == 0 {
		to = rooms[draw.IntN(2)]
	}
	var lines []string
	for n, in := range draw.Perm(4)[:1+draw.IntN(3)] {
		lines = append(lines, fmt.Sprintf("  - %s/out%d -> %s/in%d", from, n+1, to, in+1))
	}
	inside := ""
	if draw.IntN(2) == 0 {
		inside = fmt.Sprintf("inside: [%s/in4 -> %s/out4]\n", to, to)
	}
	return "session: " + called + "\nconnect:\n" + strings.Join(lines, "\n") + "\n" + inside
}
