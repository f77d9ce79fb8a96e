package certificate_test

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/certificate"
)

// A proof is refused for what is wrong with it, by name. Two silences and a want take three
// plugs here; one dummy and one cord are owned.
func TestWhatIsWrongWithAProof(t *testing.T) {
	h := byhand.Read(t, `studio: proofs
gear:
  synth: {outputs: {out1-4: pro-line}}
  desk:  {inputs: {in1-4: pro-line}}
bays: {main: {pairs: 4, jack: bantam, modes: {1-3: half-normal, 4: isolated}}}
wiring: [synth/out1-4 -> main/t1-4, main/b1-4 -> desk/in1-4]
cords: {stock: {60 cm: 1}}
dummies: 1
`, "connect: [synth/out4 -> desk/in4]\nsilent: [desk/in1-2]\n", "")
	point := func(text string) name.Point {
		p, err := name.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	want := func(source, at string, least float64) plan.Taking {
		return plan.Taking{Source: point(source), At: []name.Point{point(at)}, Least: least}
	}
	breaks := func(top, bottom string) plan.Taking {
		return plan.Taking{Break: []name.Point{point(top), point(bottom)}, Least: 1}
	}
	jack := func(at string, price float64) plan.Scarce {
		return plan.Scarce{What: plan.ScarceJack, At: point(at), Count: 1, Price: price}
	}
	dummy := plan.Scarce{What: plan.ScarceDummy, Count: 1, Price: 1}
	cord := plan.Scarce{What: plan.ScarceCord, Cord: &plan.OwnedCord{Length: h.Studio.Stock.Cords[0].Length, Ends: [2]string{h.Studio.Stock.Cords[0].Ends[0].String(), h.Studio.Stock.Cords[0].Ends[1].String()}}, Count: 1, Price: 1}
	first, second, line := breaks("main/t1", "main/b1"), breaks("main/t2", "main/b2"), want("synth/out4", "desk/in4", 1)
	for _, c := range []struct {
		wrong string // empty for a proof that holds
		takes []plan.Taking
		of    []plan.Scarce
	}{
		{"", []plan.Taking{first, second, line}, []plan.Scarce{dummy, cord}},
		{"the proof has nothing that is asked", nil, []plan.Scarce{dummy}},
		{"synth/out4 takes 1 at least, not 2", []plan.Taking{want("synth/out4", "desk/in4", 2)}, []plan.Scarce{cord}},
		{"the normal of main/t1 and main/b1 takes 0 at least, not 1", []plan.Taking{first}, []plan.Scarce{dummy}},
		{"what is asked takes 2, and there is 2", []plan.Taking{first, line}, []plan.Scarce{dummy, cord}},
		{"the room has no jack synth/out4", []plan.Taking{line}, []plan.Scarce{jack("synth/out4", 1)}},
		{"dummy has a price twice, or none", []plan.Taking{line}, []plan.Scarce{dummy, dummy}},
		{"jack main/t1 has a price twice, or none", []plan.Taking{line}, []plan.Scarce{jack("main/t1", 0)}},
		{"of dummy there are 1, not 0", []plan.Taking{line}, []plan.Scarce{{What: plan.ScarceDummy, Price: 1}}},
		{"desk/in4 is no source, or counted twice, or goes nowhere", []plan.Taking{want("desk/in4", "desk/in4", 1)}, []plan.Scarce{cord}},
		{"synth/out4 is no source, or counted twice, or goes nowhere", []plan.Taking{line, line}, []plan.Scarce{cord}},
		{"the session does not ask for synth/out3 -> desk/in3", []plan.Taking{want("synth/out3", "desk/in3", 1)}, []plan.Scarce{cord}},
		{"main/t1 and main/b2 have no normal", []plan.Taking{breaks("main/t1", "main/b2")}, []plan.Scarce{dummy}},
		{"the normal of main/t3 and main/b3 may hold", []plan.Taking{breaks("main/t3", "main/b3")}, []plan.Scarce{dummy}},
		{"the plug in main/b1 counts elsewhere, or could carry something", []plan.Taking{first, first}, []plan.Scarce{dummy, cord}},
	} {
		proof := &plan.Shortage{Takes: c.takes, Of: c.of}
		err := certificate.Check(heard.NewRoom(h.Studio), h.In, h.Session, proof)
		switch {
		case c.wrong == "" && err != nil:
			t.Errorf("a proof that holds is refused: %v", err)
		case c.wrong != "" && (err == nil || !strings.Contains(err.Error(), c.wrong)):
			t.Errorf("%v; it should be %q", err, c.wrong)
		}
	}
}
