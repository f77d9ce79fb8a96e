package planner

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/studio"
)

// What is scarce, in words: each sentence and each name of a thing that there is, also those
// that few rooms bring about.
func TestScarceInWords(t *testing.T) {
	h := byhand.Read(t, `studio: words
gear:
  synth: {outputs: {out1-3: pro-line}}
  desk:  {inputs: {in1-4: pro-line}}
bays:
  main: {label: Main bay, pairs: 6, jack: bantam, modes: {1-6: isolated}}
  far: {pairs: 6, jack: bantam, modes: {1-6: isolated}}
matrices: {grid: {label: Grid, inputs: 1, outputs: 2, kind: contacts}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3, main/t3 -> grid/in1, grid/out1-2 -> far/t4-5]
ties: [main/t4 = main/b4, main/t5 = far/t1]
mults: [[main/t6, main/b6], [far/t6, far/b6]]
cords: {stock: {30 cm: 2}}
dummies: 1
`, "connect: [synth/out1-2 -> desk/in1-2]\n", "")
	point := func(text string) name.Point {
		p, err := name.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	metal := func(at string) plan.Scarce {
		return plan.Scarce{What: plan.ScarceMetal, At: point(at), Count: 1, Price: 1}
	}
	cord := func(count int) plan.Scarce {
		return plan.Scarce{What: plan.ScarceCord, Cord: &plan.OwnedCord{Length: 30 * measure.Centimetre, Ends: [2]string{"", ""}}, Count: count, Price: 1}
	}
	jack := func(at string) plan.Scarce {
		return plan.Scarce{What: plan.ScarceJack, At: point(at), Count: 1, Price: 1}
	}
	elsewhere := func(s plan.Scarce, n int) plan.Scarce { s.Elsewhere = n; return s }
	dear := func(s plan.Scarce) plan.Scarce { s.Price = 2; return s }
	dummy := plan.Scarce{What: plan.ScarceDummy, Count: 1, Price: 1}
	one := plan.Taking{Source: point("synth/out1"), At: []name.Point{point("desk/in1")}, Least: 1}
	other := plan.Taking{Source: point("synth/out2"), At: []name.Point{point("desk/in2")}, Least: 1}
	split := plan.Taking{Source: point("synth/out1"), At: []name.Point{point("desk/in1"), point("desk/in3")}, Least: 1}
	another := plan.Taking{Source: point("synth/out2"), At: []name.Point{point("desk/in2"), point("desk/in4")}, Least: 1}
	breaks := plan.Taking{Break: []name.Point{point("main/t1"), point("main/b1")}, Least: 1}
	for _, c := range []struct {
		want  string
		of    []plan.Scarce
		takes []plan.Taking
		need  float64
		wants int
	}{
		{"together they take 3 cords, and there are 2", []plan.Scarce{cord(2)}, []plan.Taking{one, other}, 3, 2},
		{"together they take 2 cords, and there is none", []plan.Scarce{cord(0)}, []plan.Taking{one, other}, 2, 2},
		{"it takes 2 cords, and there is 1", []plan.Scarce{cord(1)}, []plan.Taking{one}, 2, 1},
		{"together they take 2 cords, and 1 of 4 is left", []plan.Scarce{elsewhere(cord(1), 3)}, []plan.Taking{one, other}, 2, 2},
		{"together they take 3 cords, and 2 of 4 are left", []plan.Scarce{elsewhere(cord(2), 2)}, []plan.Taking{one, other}, 3, 2},
		{"together they take 2 cords, and none of 3 is left", []plan.Scarce{elsewhere(cord(0), 3)}, []plan.Taking{one, other}, 2, 2},
		{"together they take 3 cords or dummies, and there are 2", []plan.Scarce{cord(2)}, []plan.Taking{one, other, breaks}, 3, 3},
		{"together they take 2 dummies, and there is 1", []plan.Scarce{dummy}, []plan.Taking{breaks, breaks}, 2, 2},
		{"together they take 4 cords and dummies, and there are 3: 2 cords, 1 dummy", []plan.Scarce{cord(2), dummy}, []plan.Taking{one, breaks}, 4, 2},
		{"together they take 6 cords and dummies, and 3 of 5 are left: 2 cords, 1 dummy", []plan.Scarce{elsewhere(cord(2), 2), dummy}, []plan.Taking{one, breaks}, 6, 2},
		{"together they take more than there is: 2 inputs of Grid, 1 cord, jack far/b1", []plan.Scarce{metal("grid/in1"), cord(1), dear(metal("grid/in1")), jack("far/b1")}, []plan.Taking{one, other}, 6, 2},
		{"together they take 3 cords or dummies, and there are 2", []plan.Scarce{cord(2)}, []plan.Taking{one, breaks}, 3, 2},
		{"together they take more than there is: 2 cords, 1 tie between Main bay and far", []plan.Scarce{cord(2), dear(metal("main/t5"))}, []plan.Taking{one, other}, 5, 2},
		{"together they take 2 ties within Main bay, and there is 1 (main/t4)", []plan.Scarce{metal("main/t4")}, []plan.Taking{one, other}, 2, 2},
		{"together they take 2 ties between Main bay and far, and there is 1 (main/t5)", []plan.Scarce{metal("main/t5")}, []plan.Taking{one, other}, 2, 2},
		{"together they take 3 mults, and there are 2", []plan.Scarce{metal("main/t6"), metal("far/t6")}, []plan.Taking{one, other}, 3, 2},
		{"together they take 2 mults, and there is 1 (main/t6, main/b6)", []plan.Scarce{metal("main/t6")}, []plan.Taking{one, other}, 2, 2},
		{"together they take 3 outputs of Grid, and there are 2 (grid/out1-2)", []plan.Scarce{metal("grid/out1"), metal("grid/out2")}, []plan.Taking{one, other}, 3, 2},
		{"together they take 2 outputs of Grid, and there is 1 (grid/out1)", []plan.Scarce{{What: plan.ScarceOutput, At: point("grid/out1"), Count: 1, Price: 1}}, []plan.Taking{one, other}, 2, 2},
		{"together they take 2 inputs of Grid, and there is 1 (grid/in1)", []plan.Scarce{metal("grid/in1")}, []plan.Taking{one, other}, 2, 2},
		{"together they take 2 jacks at far/b1, and there is 1", []plan.Scarce{metal("far/b1")}, []plan.Taking{one, other}, 2, 2},
		{"together they take 2 plugs in far/b1, and there is 1", []plan.Scarce{jack("far/b1")}, []plan.Taking{one, other}, 2, 2},
		{"synth/out1 has to be split for them, and a mult is missing", []plan.Scarce{jack("main/t1")}, []plan.Taking{split}, 2, 2},
		{"their sources have to be split, and a mult is missing", []plan.Scarce{jack("main/t1"), jack("main/t2")}, []plan.Taking{split, another}, 4, 4},
		{"no path leads there in this studio", []plan.Scarce{jack("main/t1")}, []plan.Taking{one}, 2, 2},
	} {
		have := 0.0
		for _, s := range c.of {
			have += float64(s.Count) * s.Price
		}
		p := h.Problem(t, problem.Options{})
		if got := scarceWords(p, &plan.Shortage{Of: c.of, Takes: c.takes, Need: c.need, Have: have}, c.wants); got != c.want {
			t.Errorf("%q; it should be %q", got, c.want)
		}
	}
}

// makingOf begins a plan for a room.
func makingOf(t *testing.T, h byhand.Room, o problem.Options) *making {
	t.Helper()
	m, err := newMaking(t.Context(), heard.NewRoom(h.Studio), h.In, h.Session, o)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

const ports = `studio: remedies
gear:
  synth: {outputs: {out1-2: pro-line}}
  desk:  {inputs: {in1-3: pro-line}}
`

// What would make all of a session possible, where it was tried and not counted.
func TestRemedies(t *testing.T) {
	const one = `bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
`
	for _, c := range []struct{ name, room, asked, want string }{
		{"a mult and more cords", ports + one + `wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
cords: {stock: {30 cm: 1}}
`, "connect: ['synth/out1 -> [desk/in1, desk/in2]']\n", "it would be possible with 1 more mult and more cords"},
		{"several tagged jacks", ports + one + `wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
faulty: [main/t1, main/b2]
`, "connect: [synth/out1 -> desk/in2]\n", "tagged faulty: main/t1, main/b2; it would be possible if mended"},
		{"several crosspoints", ports + `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}}
matrices: {a: {inputs: 1, outputs: 1, missing: [in1 x out1]}, b: {inputs: 1, outputs: 1, missing: [in1 x out1]}}
wiring: [synth/out1 -> a/in1, a/out1 -> b/in1, b/out1 -> desk/in1, synth/out2 -> main/t1, main/b1-2 -> desk/in2-3]
`, "connect: [synth/out1 -> desk/in1]\n", "no crosspoint: a/in1 -> a/out1, b/in1 -> b/out1; it would be possible with that"},
		{"ways of several lines", ports + `bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}, side: {pairs: 2, modes: {1-2: isolated}}}
matrices: {grid: {inputs: 1, outputs: 1}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3, main/t3 -> grid/in1]
cords: {stock: {30 cm: 4}}
`, "connect: [{from: synth/out1, to: desk/in1, via: grid}, {from: synth/out2, to: desk/in2, via: grid}]\n", "it would be possible if 2 lines asked for no way (via, avoid)"},
		{"no cord at all", ports + one + `wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
cords: {stock: {30 cm: 0}}
`, "connect: [synth/out1-2 -> desk/in1-2]\n", "together they take 2 cords, and there is none"},
		{"no plugs that fit", ports + `bays:
  main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  side: {pairs: 4, jack: quarter-inch, at: {x: 50 cm, y: 100 cm}, modes: {1-4: isolated}}
wiring: [synth/out1-2 -> main/t1-2, side/b1-3 -> desk/in1-3]
cords: {stock: [{length: 90 cm, ends: [bantam, bantam], count: 4}]}
`, "connect: [synth/out1 -> desk/in1]\n", "no cord owned has the plugs to go from main to side"},
		{"nothing", ports + `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}}
matrices: {grid: {inputs: 1, outputs: 1}}
wiring: [synth/out1-2 -> main/t1-2, grid/out1 -> desk/in1, main/b1-2 -> desk/in2-3]
`, "connect: [synth/out1 -> desk/in1]\n", ""},
	} {
		h := byhand.Read(t, c.room, c.asked, "")
		m := remedies{makingOf(t, h, problem.Options{Prefer: plan.PreferFewest})}
		if got := m.of(exact.Wishes(m.made.problem)); got.said != c.want {
			t.Errorf("%s: %q with %+v; it should be %q", c.name, got.said, got.enough, c.want)
		}
	}
}

// A normal that is tagged faulty can be all that stands in the way: here it carries one of two
// copies of a signal.
func TestFaultyNormalInTheWay(t *testing.T) {
	h := byhand.Read(t, ports+`bays: {main: {pairs: 3, jack: bantam, modes: {1: half-normal, 2-3: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
faulty: [normal main/1]
`, "connect: ['synth/out1 -> [desk/in1, desk/in2]']\n", "")
	m := remedies{makingOf(t, h, problem.Options{Prefer: plan.PreferFewest})}
	if got, want := m.mended(h.Session).said, "it would be possible if no normal were tagged faulty"; got != want {
		t.Errorf("%q; it should be %q", got, want)
	}
}

// What others hold is not to be had by mending it.
func TestHeldJackKeepsTheSound(t *testing.T) {
	h := byhand.Read(t, ports+`bays: {main: {pairs: 3, jack: bantam, modes: {1: half-normal, 2-3: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
faulty: [main/b1]
`, "silent: [desk/in1]\n", "")
	m := makingOf(t, h, problem.Options{Prefer: plan.PreferFewest, Held: h.Studio.Faulty})
	p, err := m.find()
	if want := "no plug breaks the path by which it has sound"; err != nil || len(p.Missing) != 1 || p.Missing[0].Because != want {
		t.Errorf("%+v, %v; it should say %q", p, err, want)
	}
}

// Where the search for fewer comes to no end, so many are said to do at most.
func TestAtMostSoManyMore(t *testing.T) {
	h := byhand.Read(t, ports+"dummies: 0\n", "", "")
	e := enough{makingOf(t, h, problem.Options{Prefer: plan.PreferFewest})}
	for _, c := range []struct {
		unknown bool
		want    string
	}{{false, "it would be possible with 2 more dummies"}, {true, "it would be possible with at most 2 more dummies"}} {
		add := fewer([]plan.Addition{{What: plan.AddedDummy, Count: 3}}, func(less []plan.Addition) (bool, bool) { return less[0].Count == 2, c.unknown })
		if said := e.enoughWords(1, add); said != c.want {
			t.Errorf("%q, want %q", said, c.want)
		}
	}
}

// Where the fewest are not found in time, each is kept that can be had with those before it.
func TestOneByOne(t *testing.T) {
	h := byhand.Read(t, ports+`bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
cords: {stock: {30 cm: 1}}
`, "connect: [synth/out1-2 -> desk/in1-2]\n", "")
	m := makingOf(t, h, problem.Options{Prefer: plan.PreferFewest})
	_, all := trying{m}.oneByOne(exact.Relax(t.Context(), m.problem, startOf(m)))
	if want := "it is not possible together with all else in the session; every way was tried"; len(all) != 1 || all[0].Want != "synth/out2 -> desk/in2" || all[0].Because != want {
		t.Errorf("%+v; it should be the second want: %q", all, want)
	}
}

// Cords and dummies that sessions in other rooms have are no more than left out of what is
// owned: the words say how many there are.
func TestElsewhereInWords(t *testing.T) {
	bantam := [2]studio.Jack{studio.Bantam, studio.Bantam}
	for _, c := range []struct{ stock, want string }{
		{"{length: 30 cm, ends: [bantam, bantam], count: 1}", "together they take 2 cords of 30 cm, and 1 of 2 is left; it would be possible with 1 more cord of 30 cm"},
		{"{length: 30 cm, ends: [bantam, bantam], count: 0}", "each takes 1 cord of any kind, and none of 4 is left; both would be possible with 2 more cords of 30 cm"},
		{"{length: 2 cm, ends: [bantam, bantam], count: 9}", "no cord is left that goes from main/t1-2 to main/b1-2; both would be possible with 2 more cords of 30 cm"},
	} {
		h := byhand.Read(t, ports+`bays: {main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
cords: {slack: 10 cm, stock: [`+c.stock+`]}
`, "connect: [synth/out1-2 -> desk/in1-2]\n", "")
		others := plan.Elsewhere{Cords: []studio.StockCord{{Length: 30 * measure.Centimetre, Ends: bantam, Count: 1}, {Length: 90 * measure.Centimetre, Ends: bantam, Count: 3}}}
		p, err := makingOf(t, h, problem.Options{Prefer: plan.PreferFewest, Elsewhere: others}).find()
		if err != nil || len(p.Missing) == 0 {
			t.Fatalf("%+v, %v", p, err)
		}
		all := plan.Merged(p.Missing)
		if got := all[len(all)-1].Because; !strings.HasSuffix(got, c.want) {
			t.Errorf("of %s: %q; it should end with %q", c.stock, got, c.want)
		}
	}
}
