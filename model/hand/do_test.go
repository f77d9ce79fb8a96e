package hand

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// Steps that are made one after the other meet what is in by then: a move is refused
// where it cannot be made, and the patch is left as it was before it.
func TestDo(t *testing.T) {
	points := func(text string) (all []name.Point) {
		for _, one := range strings.Fields(text) {
			all = append(all, at(t, one))
		}
		return all
	}
	move := func(do plan.Do, ends, to string) plan.Move {
		return plan.Move{ID: "7", Do: do, Ends: points(ends), To: points(to)}
	}
	for _, c := range []struct {
		moves []plan.Move
		err   error
	}{
		{[]plan.Move{move(plan.Pull, "main/b1 main/t1", ""), move(plan.Plug, "main/t1 main/b3", "")}, nil},
		{[]plan.Move{move(plan.MoveEnd, "main/t1 main/b1", "main/b1 main/t3"), move(plan.PlugDummy, "main/t1", "")}, nil},
		{[]plan.Move{move(plan.PullLead, "horn/out1 stage/1", ""), move(plan.PlugLead, "keys/out1 stage/1", "")}, nil},
		{[]plan.Move{move(plan.Mute, "desk/out1", "")}, nil},
		{[]plan.Move{move(plan.Plug, "main/t1 main/b3", "")}, ErrTaken},
		{[]plan.Move{move(plan.Plug, "main/t3 main/t3", "")}, ErrTaken},
		{[]plan.Move{move(plan.Plug, "main/t3 main/b3", ""), move(plan.PlugDummy, "main/b3", "")}, ErrTaken},
		{[]plan.Move{move(plan.Pull, "main/t1 main/b2", "")}, ErrTaken},
		{[]plan.Move{move(plan.PullDummy, "main/b1", "")}, ErrTaken},
		{[]plan.Move{move(plan.PullLead, "keys/out1 stage/1", "")}, ErrTaken},
		{[]plan.Move{move(plan.PlugLead, "horn/out1 main/t3", "")}, ErrTaken},
		{[]plan.Move{move(plan.MoveEnd, "main/t1 main/b1", "main/t1 main/b2")}, ErrTaken},
		{[]plan.Move{move(plan.MoveEnd, "main/t1 main/b3", "main/t1 main/b4")}, ErrTaken},
		{[]plan.Move{move(plan.Plug, "", "")}, ErrNever},
		{[]plan.Move{move(plan.MoveEnd, "main/t1 main/b1", "")}, ErrNever},
		{[]plan.Move{move(plan.PlugLead, "keys/out1", "")}, ErrNever},
	} {
		b := bay(t)
		got, err := Do(b.Patch, c.moves...)
		if !errors.Is(err, c.err) {
			t.Errorf("%s: %v, want %v", said(c.moves), err, c.err)
		}
		if !reflect.DeepEqual(b.Patch, bay(t).Patch) {
			t.Errorf("%s changed the patch before", said(c.moves))
		}
		done := c.moves
		if err != nil {
			done = done[:len(done)-1]
		}
		if want := Apply(b.Patch, done...); !reflect.DeepEqual(got, want) {
			t.Errorf("%s gives %v, want %v", said(c.moves), got, want)
		}
	}
}
