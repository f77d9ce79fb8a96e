package keep_test

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// Whoever only looks is asked the planner's question that the recall asks, in whatever
// the room is in; and what the recall refuses is refused.
func TestQuestionIsTheRecalls(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		b.end()
		var last plan.Request
		config := b.config()
		config.Plan = func(ctx context.Context, ask plan.Request) (*plan.Plan, error) {
			if ask.Session != nil && ask.Session.Name != keep.RestName { // not the way of the others alone
				last = ask
			}
			return planner.Make(ctx, ask)
		}
		b.files.Sessions["concert"].Inside = []studio.Pass{{In: jackOf("stage/in1"), Out: jackOf("stage/out4")}}
		b.startWith(config)
		read := func(called string) *session.Session { return b.files.Sessions[called] }
		same := func(called string, options keep.RecallOptions) {
			t.Helper()
			preview, refused := keep.NewPreview(b.studio, b.status(), called, options, read)
			var shown *plan.Plan
			if refused == nil {
				shown, refused = preview.Plan(func(ask plan.Request) (*plan.Plan, error) { return planner.Make(t.Context(), ask) })
			}
			want := preview.Request
			_, err := asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: called, Options: options})
			if (err == nil) != (refused == nil) || keep.Code(err) != keep.Code(refused) {
				t.Errorf("%s: %v to who looks, %v to who recalls", called, refused, err)
			}
			if err != nil {
				return
			}
			if diff := cmp.Diff(want, last); diff != "" {
				t.Errorf("%s, to who looks (-) and to who recalls:\n%s", called, diff)
			}
			if diff := cmp.Diff(steps(shown.Steps), steps(b.status().Left)); diff != "" {
				t.Errorf("the steps of %s, to who looks (-) and to who recalls:\n%s", called, diff)
			}
		}
		same("concert", keep.RecallOptions{LeaveCords: true})
		same("mixdown", keep.RecallOptions{}) // beside concert, which is not given yet
		b.allByHand()
		if _, err := asked(b.keeper, keep.Act{Do: keep.Faulty, A: jack("t7")}); err != nil {
			t.Fatal(err)
		}
		same("link", keep.RecallOptions{}) // touches both
		same("encore", keep.RecallOptions{Prefer: "plain"})
		same("remix", keep.RecallOptions{Inside: true})
		same("link", keep.RecallOptions{Instead: true})
		same("nobody", keep.RecallOptions{})
	})
}

// The software is to be changed over from what the session before had inside, once;
// whoever says that it was not asks for it again.
func TestChangeOver(t *testing.T) {
	onTwoRooms(t, func(b *bench) {
		pass := studio.Pass{In: jackOf("desk/in2"), Out: jackOf("desk/out4")}
		b.files.Sessions["mixdown"].Inside = []studio.Pass{pass}
		over := func(s keep.Status) (found plan.Step) {
			for _, step := range s.Left {
				if step.Do == plan.ChangeOver {
					found = step
				}
			}
			return found
		}
		if step := over(b.recall("mixdown")); step.ID != "" {
			t.Errorf("nothing was held before, and %+v is asked for", step)
		}
		b.allByHand()
		s := b.recall("remix")
		step := over(s)
		if len(step.Carried) != 1 || step.Carried[0] != pass || len(step.Carries) != 0 {
			t.Fatalf("asked for is %+v", step)
		}
		s = b.tick(step.ID)
		if got := over(s); got.ID != "" || len(s.Inside) != 0 {
			t.Errorf("after it was done %+v is left, and inside is %v", got, s.Inside)
		}
		if s = b.untick(step.ID); over(s).ID == "" || len(s.Inside) != 1 {
			t.Errorf("it was not done after all, and left is %s", steps(s.Left))
		}
		s = b.allByHand()
		if got := over(b.recall("mixdown")); len(got.Carried) != 0 || len(got.Carries) != 1 {
			t.Errorf("back to it, asked for is %+v", got)
		}
		b.wants(s, keep.Given, "")
	})
}

func jackOf(text string) name.Point {
	p, err := name.Parse(text)
	if err != nil {
		panic(err)
	}
	return p
}
