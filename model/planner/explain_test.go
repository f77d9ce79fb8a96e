package planner_test

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/planner"
	"bayhand/model/text"
)

// What stands in the way is said as one would say it at the bay.
func TestWhatStandsInTheWay(t *testing.T) {
	const gear = `studio: way
gear:
  synth: {outputs: {out1-2: pro-line}}
  desk:  {inputs: {in1-3: pro-line}}
`
	for _, test := range []struct{ name, studio, connect, want string }{
		{"hard-wired", `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}}
wiring: [synth/out1 -> desk/in1, synth/out2 -> main/t1, main/b2 -> desk/in2, main/b1 -> desk/in3]
`, "synth/out2 -> desk/in1", "desk/in1 is wired to synth/out1 for good; no plug parts them"},
		{"shut off", `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}}
wiring: [synth/out1 -> desk/in1, synth/out2 -> main/t1, main/b2 -> desk/in2, main/b1 -> desk/in3]
`, "synth/out1 -> desk/in2", "synth/out1 comes to no jack, no matrix and no free port; wire it to one"},
		{"too short", `bays: {main: {pairs: 48, jack: bantam, modes: {1-48: isolated}}}
wiring: [synth/out1 -> main/t1, synth/out2 -> main/t2, main/b48 -> desk/in1, main/b2-3 -> desk/in2-3]
cords: {stock: {30 cm: 4}}
`, "synth/out1 -> desk/in1", "the longest owned that fits there is 30 cm"},
		{"too few", `bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
cords: {stock: {30 cm: 1}}
`, "synth/out1-2 -> desk/in1-2", "they take 2 cords, and there is 1; it would be possible with 1 more cord"},
		{"too few of a kind", `bays:
  main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}
  far: {pairs: 3, jack: quarter-inch, modes: {1-3: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-2 -> desk/in1-2, main/b4 -> desk/in3]
cords:
  slack: 10 cm
  stock:
    - {length: 60 cm, ends: [bantam, quarter-inch], count: 1}
    - {length: 60 cm, ends: [bantam, bantam], count: 9}
`, "synth/out1-2 -> desk/in1-2", "they take 2 cords from bantam to quarter-inch, and there is 1; it would be possible with 1 more cord from bantam to quarter-inch"},
		{"too few long ones", `bays:
  main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 3, jack: bantam, at: {x: 60 cm, y: 100 cm}, modes: {1-3: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-2 -> desk/in1-2, main/b4 -> desk/in3]
cords:
  slack: 10 cm
  stock:
    - {length: 30 cm, poles: 3, colour: blue, count: 9}
    - {length: 90 cm, poles: 2, colour: red, count: 1}
`, "synth/out1-2 -> desk/in1-2", "they take 2 red TS cords of 90 cm, and there is 1; it would be possible with 1 more red TS cord of 90 cm"},
		{"no mult", `bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
`, "'synth/out1 -> [desk/in1, desk/in2]'", "synth/out1 has to be split for them, and a mult is missing; it would be possible with 1 more mult"},
		{"no dummy", `bays: {main: {pairs: 3, jack: bantam, modes: {1: half-normal, 2-3: isolated}}}
wiring: [synth/out1 -> main/t1, main/b1 -> desk/in1, synth/out2 -> main/t2, main/b2-3 -> desk/in2-3]
cords: {stock: {30 cm: 1}}
dummies: 0
`, "synth/out2 -> desk/in2\nsilent: [desk/in1]", "it would be possible with 1 more dummy or 1 more cord"},
		{"faulty", `bays: {main: {pairs: 3, jack: bantam, modes: {1-3: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
faulty: [main/b2]
`, "synth/out1 -> desk/in2", "it would be possible if main/b2 were not faulty"},
	} {
		t.Run(test.name, func(t *testing.T) {
			s, _, problems := text.ReadStudio("studio.yaml", []byte(gear+test.studio))
			if problems.Errors() {
				t.Fatal(problems)
			}
			session, _, problems := text.ReadSession("s.yaml", []byte("session: s\nconnect:\n  - "+test.connect+"\n"), s, nil)
			if problems.Errors() {
				t.Fatal(problems)
			}
			p, err := planner.Find(t.Context(), heard.NewRoom(s), s.Rest, session, planner.Options{})
			if err != nil || p.Given || len(p.Missing) == 0 {
				t.Fatalf("%+v, %v", p, err)
			}
			if got := p.Missing[0].Because; !strings.Contains(got, test.want) {
				t.Errorf("%s: %q, which does not say %q", p.Missing[0].Want, got, test.want)
			}
		})
	}
}
