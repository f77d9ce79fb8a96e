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
`, "synth/out2 -> desk/in1", "joined for good, by a cable: desk/in1 and synth/out1; no plug parts them"},
		{"tied", `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}, far: {pairs: 2, modes: {1: parallel, 2: isolated}}}
wiring: [synth/out1 -> main/t1, far/b1 -> desk/in1, synth/out2 -> main/t2, main/b2 -> desk/in2, main/b1 -> desk/in3]
ties: [main/t1 = far/t1]
`, "synth/out2 -> desk/in1", "joined for good, by a parallel pair (far/t1, far/b1) and a tie: desk/in1 and synth/out1; no plug parts them"},
		{"in a mult", `bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
wiring: [synth/out1 -> main/t1, main/b1 -> desk/in1, synth/out2 -> main/t2, main/b2 -> desk/in2, main/b3 -> desk/in3]
mults: [[main/t1, main/b1]]
`, "synth/out2 -> desk/in1", "joined for good, by a mult: desk/in1 and synth/out1; no plug parts them"},
		{"shut off", `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}}
wiring: [synth/out1 -> desk/in1, synth/out2 -> main/t1, main/b2 -> desk/in2, main/b1 -> desk/in3]
`, "synth/out1 -> desk/in2", "no jack, matrix or free port is wired to synth/out1; wire one to it"},
		{"a loop by itself", `  box: {channels: 1, line: pro-line}
bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3, box/out1 -> main/t3, main/b4 -> box/in1]
`, "box/out1 -> box/in1", "this makes a loop: box/in1 -> box/out1 -> box/in1; write `allow: [loop box/in1]` if it is meant"},
		{"a loop of several", `  box: {channels: 2, line: pro-line}
bays: {main: {pairs: 6, jack: bantam, modes: {1-6: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3, box/out1-2 -> main/t4-5, main/b4-5 -> box/in1-2]
`, "box/out1 -> box/in2\n  - box/out2 -> box/in1", "it is not possible together with box/out1 -> box/in2: this makes a loop: box/in1 -> box/out1 -> box/in2 -> box/out2 -> box/in1; write `allow: [loop box/in1]` if it is meant"},
		{"too short", `bays: {main: {pairs: 48, jack: bantam, modes: {1-48: isolated}}}
wiring: [synth/out1 -> main/t1, synth/out2 -> main/t2, main/b48 -> desk/in1, main/b2-3 -> desk/in2-3]
cords: {stock: {30 cm: 4}}
`, "synth/out1 -> desk/in1", "no cord owned reaches from main/t1 to main/b48: the longest that fits there is 30 cm, and it takes 50 cm; it would be possible with 1 more cord of at least 50 cm with bantam plugs"},
		{"too few", `bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
cords: {stock: {30 cm: 1}}
`, "synth/out1-2 -> desk/in1-2", "together they take 2 cords, and there is 1; it would be possible with 1 more cord"},
		{"too few of a kind", `bays:
  main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}
  far: {pairs: 3, jack: quarter-inch, modes: {1-3: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-2 -> desk/in1-2, main/b4 -> desk/in3]
cords:
  slack: 10 cm
  stock:
    - {length: 60 cm, ends: [bantam, quarter-inch], count: 1}
    - {length: 60 cm, ends: [bantam, bantam], count: 9}
`, "synth/out1-2 -> desk/in1-2", "together they take 2 cords from bantam to quarter-inch, and there is 1; it would be possible with 1 more cord from bantam to quarter-inch"},
		{"too few long ones", `bays:
  main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 3, jack: bantam, at: {x: 60 cm, y: 100 cm}, modes: {1-3: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-2 -> desk/in1-2, main/b4 -> desk/in3]
cords:
  slack: 10 cm
  stock:
    - {length: 30 cm, poles: 3, colour: blue, count: 9}
    - {length: 90 cm, poles: 2, colour: red, count: 1}
`, "synth/out1-2 -> desk/in1-2", "together they take 2 cords of 90 cm, and there is 1; it would be possible with 1 more TS cord of 90 cm"},
		{"no mult", `bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
`, "'synth/out1 -> [desk/in1, desk/in2]'", "synth/out1 has to be split for them, and a mult is missing; it would be possible with 1 more mult"},
		{"no dummy", `bays: {main: {pairs: 3, jack: bantam, modes: {1: half-normal, 2-3: isolated}}}
wiring: [synth/out1 -> main/t1, main/b1 -> desk/in1, synth/out2 -> main/t2, main/b2-3 -> desk/in2-3]
cords: {stock: {30 cm: 1}}
dummies: 0
`, "synth/out2 -> desk/in2\nsilent: [desk/in1]", "it would be possible with 1 more dummy or 1 more cord"},
		{"no tie", `bays:
  main: {pairs: 4, label: Live room, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 3, jack: bantam, at: {x: 600 cm, y: 100 cm}, modes: {1-3: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-2 -> desk/in1-2, main/b4 -> desk/in3]
cords: {stock: {60 cm: 9}}
`, "synth/out1-2 -> desk/in1-2", "both would be possible with 2 more cords of at least 6.12 m with bantam plugs or 2 more ties between Live room and far"},
		{"ties by name", `bays:
  main: {pairs: 4, label: Live room, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 4, label: Control room, jack: bantam, at: {x: 600 cm, y: 100 cm}, modes: {1-4: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-2 -> desk/in1-2, main/b4 -> desk/in3]
ties: [main/b3 = far/t3]
cords: {stock: {60 cm: 9}}
`, "synth/out1-2 -> desk/in1-2", "together they take 2 ties between Live room and Control room, and there is 1 (main/b3); it would be possible with 1 more tie between Live room and Control room"},
		{"a mult and a tie", `bays:
  main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 6, jack: bantam, at: {x: 600 cm, y: 100 cm}, modes: {1-6: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-3 -> desk/in1-3]
ties: [main/b3 = far/t3]
cords: {stock: {60 cm: 9}}
`, "'synth/out1 -> [desk/in1, desk/in2]'\n  - synth/out2 -> desk/in3", "a mult is missing; both would be possible with 1 more mult in far, and 1 more tie between main and far"},
		{"outputs", `bays:
  main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 4, jack: bantam, at: {x: 600 cm, y: 100 cm}, modes: {1-4: isolated}}
matrices: {grid: {label: Grid, inputs: 2, outputs: 1}}
wiring: [synth/out1-2 -> main/t1-2, main/b3-4 -> grid/in1-2, grid/out1 -> far/t4, far/b1-2 -> desk/in1-2]
cords: {stock: {60 cm: 9}}
`, "synth/out1-2 -> desk/in1-2", "together they take 2 outputs of Grid, and there is 1 (grid/out1); it would be possible with 1 more output of Grid or 1 more tie between main and far"},
		{"inputs of relays", `bays:
  main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 4, jack: bantam, at: {x: 600 cm, y: 100 cm}, modes: {1-4: isolated}}
matrices: {grid: {inputs: 1, outputs: 2, kind: contacts}}
wiring: [synth/out1-2 -> main/t1-2, main/b3 -> grid/in1, grid/out1-2 -> far/t3-4, far/b1-2 -> desk/in1-2]
cords: {stock: {60 cm: 9}}
`, "synth/out1-2 -> desk/in1-2", "together they take 2 inputs of grid, and there is 1 (grid/in1)"},
		{"any kind, to buy", `bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
cords: {stock: [{length: 30 cm, poles: 2, colour: grey, count: 0}, {length: 30 cm, poles: 2, colour: blue, count: 1}, {length: 30 cm, poles: 3, colour: red, count: 0}]}
`, "synth/out1-2 -> desk/in1-2", "together they take 2 cords, and there is 1; it would be possible with 1 more cord"},
		{"of three", `bays:
  main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 3, jack: bantam, at: {x: 600 cm, y: 100 cm}, modes: {1-3: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-3 -> desk/in1-3]
mults: [[main/t3, main/b3, main/t4, main/b4]]
cords: {stock: {60 cm: 19}}
`, "'synth/out1 -> [desk/in1, desk/in3]'\n  - synth/out2 -> desk/in2", "all 3 would be possible with "},
		{"nowhere to add one", `bays: {main: {pairs: 4, jack: bantam, modes: {1-4: isolated}}}
matrices: {a: {inputs: 2, outputs: 1}, b: {inputs: 1, outputs: 2}}
wiring: [synth/out1-2 -> a/in1-2, a/out1 -> b/in1, b/out1-2 -> desk/in1-2, main/b1 -> desk/in3]
`, "synth/out1-2 -> desk/in1-2", "together they take 2 outputs of a, and there is 1 (a/out1); at least 1 more output of a is needed"},
		{"one metal", `bays: {main: {pairs: 4, jack: bantam, modes: {1: parallel, 2-4: isolated}}}
wiring: [synth/out1-2 -> main/t3-4, main/b1 -> desk/in1, main/t1 -> desk/in2, main/b2 -> desk/in3]
cords: {stock: {60 cm: 9}}
`, "synth/out1-2 -> desk/in1-2", "joined for good, by a parallel pair (main/t1, main/b1): desk/in1 and desk/in2; no plug parts them"},
		{"outputs joined", `bays: {main: {pairs: 4, jack: bantam, modes: {1: parallel, 2-4: isolated}}}
wiring: [synth/out1 -> main/t1, synth/out2 -> main/b1, main/b2-4 -> desk/in1-3]
cords: {stock: {60 cm: 9}}
`, "synth/out1 -> desk/in1", "joined for good, by a parallel pair (main/t1, main/b1): synth/out1 and synth/out2; no plug parts them"},
		{"no path", `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}}
matrices: {grid: {inputs: 1, outputs: 1}}
wiring: [synth/out1-2 -> main/t1-2, grid/out1 -> desk/in1, main/b1-2 -> desk/in2-3]
`, "synth/out1 -> desk/in1", "no path leads there in this studio"},
		{"a kept line", `bays:
  main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 4, jack: bantam, at: {x: 600 cm, y: 100 cm}, modes: {1-4: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-2 -> desk/in1-2, main/b4 -> desk/in3]
ties: [main/b3 = far/t3]
cords: {stock: {60 cm: 9}}
`, "synth/out2 -> desk/in2\nkeep: [synth/out1 -> desk/in1]", "it is not possible together with synth/out1 -> desk/in1 (kept): together they take 2 ties"},
		{"a tie, for which the cords are too few", `bays:
  main: {pairs: 4, jack: bantam, at: {x: 0 cm, y: 100 cm}, modes: {1-4: isolated}}
  far: {pairs: 4, jack: bantam, at: {x: 600 cm, y: 100 cm}, modes: {1-4: isolated}}
wiring: [synth/out1-2 -> main/t1-2, far/b1-2 -> desk/in1-2, main/b4 -> desk/in3]
ties: [main/b3 = far/t3]
cords: {stock: {60 cm: 2}}
`, "synth/out1-2 -> desk/in1-2", "it would be possible with 1 more tie between main and far, and 2 more cords"},
		{"silence at a wire", `bays: {main: {pairs: 2, jack: bantam, modes: {1: parallel, 2: isolated}}}
wiring: [synth/out1 -> main/t1, main/b1 -> desk/in1, synth/out2 -> main/t2, main/b2 -> desk/in2]
`, "synth/out2 -> desk/in2\nsilent: [desk/in1]", "joined for good, by a parallel pair (main/t1, main/b1): desk/in1 and synth/out1; no plug parts them"},
		{"no crosspoint", `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}}
matrices: {grid: {inputs: 2, outputs: 2, missing: [in1 x out2]}}
wiring: [synth/out1-2 -> grid/in1-2, grid/out1-2 -> desk/in1-2, main/b1 -> desk/in3]
`, "synth/out1 -> desk/in2", "no crosspoint: grid/in1 -> grid/out2; it would be possible with that"},
		{"no crosspoint at all", `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}}
matrices: {grid: {inputs: 2, outputs: 2, missing: [in1-2 x out1-2]}}
wiring: [synth/out1-2 -> grid/in1-2, grid/out1-2 -> desk/in1-2, main/b1 -> desk/in3]
`, "synth/out1 -> desk/in1", "no crosspoint: grid/in1 -> grid/out1; it would be possible with that"},
		{"switched together", `bays: {main: {pairs: 2, jack: bantam, modes: {1-2: isolated}}}
matrices: {grid: {inputs: 3, outputs: 2, stereo: [[out1, out2]]}}
wiring: [synth/out1 -> grid/in1, synth/out2 -> grid/in3, grid/out1-2 -> desk/in1-2, main/b1 -> desk/in3]
`, "synth/out1 -> desk/in1\n  - synth/out2 -> desk/in2", "grid/out1-2 are switched together, each to the next input"},
		{"by way of", `bays: {main: {pairs: 3, jack: bantam, modes: {1-3: isolated}}, side: {pairs: 1, modes: {1: isolated}}}
matrices: {grid: {inputs: 1, outputs: 1}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3, main/t3 -> grid/in1]
cords: {stock: {30 cm: 4}}
`, "{from: synth/out1, to: desk/in1, via: grid}", "it would be possible if its line asked for no way (via, avoid)"},
		{"faulty", `bays: {main: {pairs: 3, jack: bantam, modes: {1-3: isolated}}}
wiring: [synth/out1-2 -> main/t1-2, main/b1-3 -> desk/in1-3]
faulty: [main/b2]
`, "synth/out1 -> desk/in2", "tagged faulty: main/b2; it would be possible if mended"},
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
