package keep_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// The history says of a step whose reading contradicts it what the device reports, also where
// that is just what it did before.
func TestHistoryOfAReadingThatContradicts(t *testing.T) {
	for _, c := range []struct {
		what  string
		fault func(u *unit)
		want  string
	}{
		{"none", func(*unit) {}, "step 1: grid switches in1 -> out1: sent, read back"},
		{"an output is stuck", func(u *unit) { u.stuck[out(1)] = true }, "step 1: grid switches in1 -> out1: sent, but the device reports otherwise: grid/out1 off"},
		{"it refuses", func(u *unit) { u.refuses = errors.New("front panel locked") }, "step 2: grid switches in2 -> out2: sent, but the device reports otherwise: grid/out2 off"},
		{"its answer is unclear", func(u *unit) { u.unclear, u.stuck[out(2)] = map[name.Point]bool{out(2): true}, true }, "step 2: grid switches in2 -> out2: sent, but the device reports otherwise: grid/out2 cannot be understood"},
	} {
		t.Run(c.what, func(t *testing.T) {
			onBench(t, func(b *bench) {
				b.start()
				b.units["grid"].change(c.fault)
				_, _ = asked(b.keeper, keep.Act{Do: keep.ToRecall, Session: "plain"}) // what it answers is told elsewhere
				events, err := b.journal.Find(keep.Query{})
				if err != nil {
					t.Fatal(err)
				}
				var got []string
				for _, h := range words.History(events, nil) {
					got = append(got, h.Text)
				}
				if !slices.Contains(got, c.want) {
					t.Errorf("there is no %q in %q", c.want, got)
				}
			})
		})
	}
}

// What a reading says of other outputs contradicts no step.
func TestOtherwise(t *testing.T) {
	step := &plan.Step{ID: "1", By: "grid", Do: plan.Switch, Crosspoints: []plan.Change{{Output: out(1), Input: in(1)}, {Output: out(2), Was: in(2)}}}
	for _, c := range []struct {
		what string
		e    keep.Event
		want string
	}{
		{"as sent", keep.Event{Kind: keep.WasRead, Step: step, Changes: []plan.Change{{Output: out(1), Input: in(1)}, {Output: out(2)}}}, "[] []"},
		{"another output", keep.Event{Kind: keep.WasRead, Step: step, Changes: []plan.Change{{Output: out(3), Input: in(1)}}, Unclear: []name.Point{out(4)}}, "[] []"},
		{"another input", keep.Event{Kind: keep.WasRead, Step: step, Changes: []plan.Change{{Output: out(1), Input: in(3)}}}, "[grid/out1=grid/in3] []"},
		{"two inputs", keep.Event{Kind: keep.WasRead, Step: step, Changes: []plan.Change{{Output: out(1), Input: in(1)}, {Output: out(1), Input: in(2)}}}, "[grid/out1=grid/in1 grid/out1=grid/in2] []"},
		{"unclear", keep.Event{Kind: keep.WasRead, Step: step, Unclear: []name.Point{out(2)}}, "[] [grid/out2]"},
		{"no reading", keep.Event{Kind: keep.WasSent, Step: step, Changes: []plan.Change{{Output: out(1), Input: in(3)}}}, "[] []"},
		{"no step", keep.Event{Kind: keep.WasRead, Changes: []plan.Change{{Output: out(1), Input: in(3)}}}, "[] []"},
	} {
		reads, unclear := c.e.Otherwise()
		all := []string{}
		for _, r := range reads {
			all = append(all, fmt.Sprintf("%s=%s", r.Output, r.Input))
		}
		if got := fmt.Sprint(all, " ", unclear); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}
