package gate_test

import (
	"slices"
	"testing"
	"time"

	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/border"
	"bayhand/recall/gate"
	"bayhand/recall/keep"
)

const lentStudio = `studio: Heron Boathouse, two rooms
gear:
  desk: {outputs: {out1: pro-line}, inputs: {in1: pro-line}}
  stage: {outputs: {out1: pro-line}, inputs: {in1: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
  far: {pairs: 4, modes: isolated}
wiring:
  - desk/out1 -> main/t1
  - main/b1 -> desk/in1
  - stage/out1 -> far/t1
  - far/b1 -> stage/in1
rooms: {live: [far, stage], mix: [main, desk]}
ties: [main/b3-4 = far/t3-4]
lines-to: {live: {talk: main/b3}, mix: {backline: far/t4}}
`

// lent is a building of two rooms with a line in each direction.
func lent(t *testing.T) *building {
	t.Helper()
	b := newBuilding(t)
	s, _, problems := text.ReadStudio("studio.yaml", []byte(lentStudio))
	if problems.Errors() {
		t.Fatal(problems)
	}
	b.studio, b.sessions = s, map[string]*session.Session{}
	for called, connect := range map[string]string{
		"give": "desk/out1 -> talk", "take": "talk -> stage/in1", "back": "stage/out1 -> backline", "solo": "desk/out1 -> desk/in1",
	} {
		one, _, problems := text.ReadSession(called+".yaml", []byte("session: "+called+"\nconnect: ["+connect+"]\n"), s, nil)
		if problems.Errors() {
			t.Fatal(problems)
		}
		b.sessions[called] = one
	}
	return b
}

// never is what a host does not say any more.
func (b *building) never(g *gate.Gate, code string) {
	b.t.Helper()
	b.soon("no "+code, func() bool {
		return !slices.ContainsFunc(g.Problems(), func(p keep.Problem) bool { return p.Code == code })
	})
}

// Each of two hosts says for which end of a line it waits, and no more once the other room
// is ready for it.
func TestLinesThatAreAwaited(t *testing.T) {
	b := lent(t)
	north := b.host("north")
	b.do(north, recall("take"), nil)
	b.says(north, "line-to", "talk comes from room mix (host south), of which nothing is known yet")
	south := b.host("south")
	b.says(north, "line-to", "nothing is sent into talk yet: room mix (host south) has no session")
	b.do(south, recall("solo"), nil)
	b.says(north, "line-to", "nothing is sent into talk yet: room mix (host south) is in solo, which does not name it")
	b.do(south, recall("give"), nil)
	b.says(north, "line-to", "talk comes from room mix (host south), where give sends into it: cords to plug")
	b.says(south, "line-to", "talk goes to room live (host north), where take takes it: cords to plug")
	b.do(south, keep.Act{Do: keep.WereDone, All: true}, nil)
	b.never(north, "line-to")
	b.do(north, keep.Act{Do: keep.WereDone, All: true}, nil)
	b.never(south, "line-to")
	want := []gate.Lent{
		{Name: "talk", From: gate.End{Room: "mix", Host: "south", Told: true, Session: "give", Uses: true, Phase: keep.Given},
			To: gate.End{Room: "live", Host: "north", Told: true, Session: "take", Uses: true, Phase: keep.Given}},
		{Name: "backline", From: gate.End{Room: "live", Host: "north", Told: true, Session: "take", Phase: keep.Given},
			To: gate.End{Room: "mix", Host: "south", Told: true, Session: "give", Phase: keep.Given}},
	}
	for _, g := range []*gate.Gate{north, south} {
		status, err := g.Status(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		got := g.Neighbours().Lent(b.studio, status)
		for i := range got {
			got[i].From.At, got[i].To.At = time.Time{}, time.Time{}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%+v\nnot %+v", got, want)
		}
	}
	view, err := b.table.View(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	by := gate.LentBy(b.house, b.studio, view.Announced, func(name string) *session.Session { return b.sessions[name] })
	for i := range by {
		by[i].From.At, by[i].To.At = time.Time{}, time.Time{}
	}
	if !slices.Equal(by, want) {
		t.Errorf("by what was announced: %+v\nnot %+v", by, want)
	}
	b.do(north, recall("back"), nil)
	b.says(north, "line-to", "nobody takes backline yet: room mix (host south) is in give, which does not name it")
	b.says(south, "line-to", "nobody takes talk yet: room live (host north) is in back, which does not name it")
	if view, _ := b.table.View(t.Context()); len(view.Table.Holds) > 0 {
		t.Errorf("somebody claims %v", view.Table.Holds)
	}
}

// A host that tells nothing any more is said not to be heard, by the time since its last
// word was read here, whatever its clock says; a host that has just started does not know.
func TestAHostThatIsNotHeard(t *testing.T) {
	b := lent(t)
	b.retell = 10 * time.Millisecond
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	yesterday := time.Now().Add(-24 * time.Hour)
	must(b.table.Announce(t.Context(), border.Announcement{Room: "mix", Host: "south", Session: "give", Phase: string(keep.Given), At: yesterday}))
	north := b.host("north")
	b.do(north, recall("take"), nil)
	b.soon("mix is not heard", func() bool { return north.Neighbours().News("mix") == gate.Silent })
	b.says(north, "line-to", "talk comes from room mix (host south), where give sends into it: ready. That host is not heard since then: it is off, or cut off")
	b.soon("its own room is heard", func() bool { return north.Neighbours().News("live") == gate.Fresh })
	if got := north.Neighbours().News("attic"); got != 0 {
		t.Errorf("of a room that is none it hears %v", got)
	}
	b.host("south")
	b.soon("mix is heard again", func() bool { return north.Neighbours().News("mix") == gate.Fresh })
}

// What the others told before a host started is said to be as old as it is.
func TestNewsThatIsDated(t *testing.T) {
	b := lent(t)
	if err := b.table.Announce(t.Context(), border.Announcement{Room: "mix", Host: "south", At: time.Now()}); err != nil {
		t.Fatal(err)
	}
	north := b.host("north")
	b.soon("mix is known", func() bool { return north.Neighbours().News("mix") == gate.Dated })
}
