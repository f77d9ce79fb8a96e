package bench

import (
	"slices"
	"strings"

	"bayhand/model/capture"
	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Answer is what a setup does.
type Answer struct {
	Room  *heard.Room
	State *heard.State
	// Changed are the gear inputs that hear something else than in the beginning,
	// in the order of the studio.
	Changed []Change
	// Broken are the normals that plugs hold open, bay by bay.
	Broken []Broken
	// Joined are outputs that meet: what is heard there is not defined.
	Joined []heard.Contention
	// Loops are ways of a signal back to itself that were not there before.
	Loops []heard.Loop
	// Says is what the rules say that they did not say in the beginning.
	Says []Said
}

// Change is what one destination hears.
type Change struct {
	Destination name.Point
	Now, Before []name.Point
}

// Broken is a normal that is held open, with the jacks whose plugs break it.
type Broken struct {
	Bay    string
	Number int
	By     []name.Point
}

// Said is a finding, with the rule that it is of.
type Said struct {
	check.Finding
	Title, Manual string
}

// Hear works out what a setup does, against what was there in the beginning.
// It takes time linear in the room, and twice that of checking a studio.
func Hear(of *studio.Studio, s, began Setup) Answer {
	room, before := heard.NewRoom(s.Copy(of)), heard.NewRoom(began.Copy(of))
	a := Answer{Room: room, State: room.Hear(s.Patch)}
	was := before.Hear(began.Patch)
	for _, input := range room.Studio().Ends(studio.Input) {
		c := Change{input, a.State.Hears(input), was.Hears(input)}
		if !slices.Equal(c.Now, c.Before) {
			a.Changed = append(a.Changed, c)
		}
	}
	a.Broken = s.broken(room.Studio(), a.State)
	a.Joined = a.State.Contentions()
	a.Loops = newLoops(a.State.Loops(nil, nil), was.Loops(nil, nil))
	a.Says = news(findings(room, s), findings(before, began))
	return a
}

func (s Setup) broken(of *studio.Studio, state *heard.State) []Broken {
	var all []Broken
	for _, b := range of.Bays {
		for i, mode := range b.Modes {
			n := i + 1
			if mode == studio.Parallel || !mode.Joined(false, false) || state.NormalHolds(b.Name, n) {
				continue
			}
			one := Broken{Bay: b.Name, Number: n}
			if s.In(b.TopJack(n)) != nil && !mode.Joined(true, false) {
				one.By = append(one.By, b.TopJack(n))
			}
			if s.In(b.BottomJack(n)) != nil && !mode.Joined(false, true) {
				one.By = append(one.By, b.BottomJack(n))
			}
			if len(one.By) > 0 { // a faulty normal is broken by nobody's plug
				all = append(all, one)
			}
		}
	}
	return all
}

func newLoops(now, before []heard.Loop) []heard.Loop {
	return slices.DeleteFunc(now, func(l heard.Loop) bool {
		return slices.ContainsFunc(before, func(m heard.Loop) bool { return slices.Equal(l.Through, m.Through) })
	})
}

// findings are what the rules say of the copy: with the setup as the room between
// sessions, and of what is heard by it as if a session asked for that.
func findings(room *heard.Room, s Setup) []check.Finding {
	all := check.Studio(room, text.Places{})
	bare := *room.Studio()
	bare.Rest.Cords, bare.Rest.Crosspoints, bare.Rest.Dummies, bare.Rest.Leads = nil, nil, nil, nil
	empty := heard.NewRoom(&bare)
	asked := capture.Session(empty, s.Patch, "bench")
	asked.Patch = nil
	return append(all, check.Session(empty, asked, text.Places{})...)
}

func news(now, before []check.Finding) []Said {
	var all []Said
	for _, f := range now {
		known := slices.ContainsFunc(before, func(g check.Finding) bool { return g.Code == f.Code && g.Message == f.Message })
		if known {
			continue
		}
		said := Said{Finding: f}
		for _, r := range check.Rules() {
			if r.Code == f.Code {
				said.Title, said.Manual = r.Title, r.Manual
			}
		}
		said.Message = onTheBench(said.Message)
		all = append(all, said)
	}
	return all
}

// onTheBench says of the bench what a rule says of the room between sessions.
func onTheBench(message string) string {
	return strings.ReplaceAll(message, "in the rest patch", "on the bench")
}

// Like is the mode of a pair as it stands on the bench.
func (s Setup) Like(of *studio.Studio, jack name.Point) studio.Mode {
	for _, m := range s.Modes {
		if m.Bay == jack.Owner && m.Number == jack.Number {
			return m.Mode
		}
	}
	if b := of.BayNamed(jack.Owner); b != nil && jack.Number >= 1 && jack.Number <= b.Pairs() {
		return b.Modes[jack.Number-1]
	}
	return studio.ModeUnknown
}
