package check

import (
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/text"
)

const wronglyCabled = `studio: S
gear:
  a: {outputs: {out1-9: pro-line}, sockets: {d1: {plug: d-sub-25, ports: out1-9, pins: aes59}}}
  b: {inputs: {in1-4: pro-line}}
  c: {inputs: {in1: pro-line}}
  d: {outputs: {out1: pro-line}}
  mic: {outputs: {out1: microphone}}
  pre: {inputs: {mic1: microphone}}
  hp: {outputs: {out1: headphone}}
  cans: {inputs: {in1: headphone}, role: headphone}
  amp: {outputs: {out1: {line: loudspeaker, plug: xlr}}}
  box: {inputs: {in1: loudspeaker}, role: loudspeaker}
  desk: {inserts: {ins1: pro-line}, insert-tip: send}
bays: {main: {pairs: 4, modes: isolated}, far: {pairs: 4, modes: isolated}}
wiring:
  - a/out1 -> b/in1
  - a/out1 -> b/in2
  - {from: a/out2, to: b/in3, cable: "1"}
  - {from: d/out1, to: c/in1, cable: "1"}
  - {from: mic/out1, to: pre/mic1, cable: "2"}
  - {from: hp/out1, to: cans/in1, cable: "2"}
  - amp/out1 -> box/in1
  - {from: desk/ins1.send, to: main/t1, cable: "3"}
  - {from: main/b1, to: desk/ins1.return, cable: "4"}
ties: [main/t2 = far/t2]
`

// What is wrong with cables is found once each, by the rules of a whole check and in
// the same words, whether all is looked for or cables alone.
func TestCablesAreFoundInOnePlace(t *testing.T) {
	s, places, problems := text.ReadStudio("studio.yaml", []byte(wronglyCabled))
	if problems.Errors() {
		t.Fatal(problems)
	}
	room := heard.NewRoom(s)
	all, cables := Studio(room, places), Cables(room, places, func(string) bool { return true })
	times := map[string]int{}
	for _, f := range cables {
		times[f.Code]++
		if f.Message == "" || f.Hint == "" || f.Line == 0 || !slices.Contains(all, f) {
			t.Errorf("half a finding, or none of a whole check: %+v", f)
		}
	}
	for _, code := range []string{"socket-full", "pins-clash", "cable-twice", "mic-beside-loud", "loud-plug", "insert-lead", "no-places"} {
		want := 1
		if code == "cable-twice" {
			want = 2 // the microphone and the headphones share no end either
		}
		if times[code] != want {
			t.Errorf("%s is found %d times: %v", code, times[code], cables)
		}
		delete(times, code)
	}
	if len(times) > 0 {
		t.Errorf("and %v is", times)
	}
	only := Cables(room, places, func(key string) bool { return key == "ties[0]" || key == "bays.main" })
	if len(only) != 1 || only[0].Code != "no-places" {
		t.Errorf("at the bays: %v", only)
	}
}

// A jacket is known by a socket as well as by a number, and an insert on one jack by
// its plug; half a number is no other half.
func TestJacketsWithoutNumbers(t *testing.T) {
	for code, src := range map[string]string{
		"mic-beside-loud": `studio: S
gear:
  box: {outputs: {out1: microphone, out2: headphone}, sockets: {d1: {plug: d-sub-25, ports: out1-2, pins: aes59}}}
  pre: {inputs: {mic1: microphone}}
  cans: {inputs: {in1: headphone}, role: headphone}
wiring: [box/out1 -> pre/mic1, box/out2 -> cans/in1]
`,
		"insert-lead": `studio: S
gear: {desk: {inserts: {ins1: {line: pro-line, plug: trs}}}}
bays: {main: {pairs: 1, modes: half-normal}}
wiring: [{from: desk/ins1.send, to: main/t1, cable: "1"}, main/b1 -> desk/ins1.return]
`,
	} {
		s, places, problems := text.ReadStudio("studio.yaml", []byte(src))
		if problems.Errors() {
			t.Fatal(problems)
		}
		found := Cables(heard.NewRoom(s), places, func(string) bool { return true })
		if len(found) != 1 || found[0].Code != code {
			t.Errorf("%s: %v", code, found)
		}
	}
}
