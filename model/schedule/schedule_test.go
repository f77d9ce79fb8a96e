package schedule_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/measure"
	"bayhand/model/schedule"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/simulators/rooms"
)

func read(t testing.TB, src string) (*studio.Studio, text.Places) {
	t.Helper()
	s, places, problems := text.ReadStudio("studio.yaml", []byte(src))
	if problems.Errors() {
		t.Fatalf("%v", problems)
	}
	return s, places
}

// The contacts of AES59, circuit by circuit: hot, cold, shield (encyclopedia,
// "D-subminiature", and a second published table that names AES59). The plug on the
// cable is male, and contact 13 is free.
func TestAES59(t *testing.T) {
	s, _ := read(t, `studio: S
gear: {interface: {outputs: {out1-8: pro-line}, sockets: {d1: {plug: d-sub-25, ports: out1-8, pins: aes59}}}}
bays: {main: {pairs: 8, modes: isolated, rear: solder}}
wiring: [interface/out1-8 -> main/t1-8]
`)
	made := schedule.Of(s)
	if len(made.Cables) != 1 || len(made.Cables[0].Pairs) != 8 {
		t.Fatalf("%d cables", len(made.Cables))
	}
	want := []string{"24 12 25", "10 23 11", "21 9 22", "7 20 8", "18 6 19", "4 17 5", "15 3 16", "1 14 2"}
	used := map[string]bool{}
	for i, p := range made.Cables[0].Pairs {
		if got := p.From.Hot + " " + p.From.Cold + " " + p.From.Shield; got != want[i] || p.From.Gender != "male" {
			t.Errorf("circuit %d is at %s on a %s plug, want %s", i+1, got, p.From.Gender, want[i])
		}
		for _, contact := range []string{p.From.Hot, p.From.Cold, p.From.Shield} {
			if used[contact] {
				t.Errorf("contact %s is used twice", contact)
			}
			used[contact] = true
		}
		if p.To.Plug != schedule.Bare || p.To.Hot+p.To.Cold+p.To.Shield != "TRS" {
			t.Errorf("at the bay: %+v", p.To)
		}
	}
	if len(used) != 24 || used["13"] {
		t.Errorf("%d contacts are used", len(used))
	}
	// Eight outputs of one socket to a solder bay: one cable, one plug, 24 joints there
	// and 24 at the bay (follows from the table).
	if c := made.Cables[0]; c.Kind != "pair-8" {
		t.Errorf("the cable is of the kind %q", c.Kind)
	}
	if b := made.Buy; b.Joints != 48 || len(b.Plugs) != 1 || b.Plugs[0] != (schedule.Plugs{Plug: "d-sub-25", Gender: "male", Count: 1}) {
		t.Errorf("to buy: %+v", b)
	}
}

// The cores of a pair have the colours of its kind of cable, in the codes of IEC 60757
// (from memory), in the order of the circuits.
func TestCoreColours(t *testing.T) {
	s, _ := read(t, `studio: S
gear: {interface: {outputs: {out1-3: pro-line}, sockets: {d1: {plug: d-sub-25, ports: out1-3, pins: aes59}}}}
bays: {main: {pairs: 3, modes: isolated, rear: solder}}
wiring: [interface/out3 -> main/t3, interface/out1-2 -> main/t1-2]
cables: {pair-8: {colours: [WH BU, RDBK OG]}}
`)
	for i, want := range []string{"WH BU", "RDBK OG", ""} {
		if p := schedule.Of(s).Cables[0].Pairs[i]; p.Core != want || p.From.Point.Number != i+1 {
			t.Errorf("pair %d, of %s, has the cores %q, want %q", i+1, p.From.Point, p.Core, want)
		}
	}
}

// Outputs are male and inputs female at the gear, so that the cable has the other;
// contact 1 is the shield, 2 hot, 3 cold (AES14, IEC 61076-2-103, from memory).
func TestXLR(t *testing.T) {
	s, _ := read(t, `studio: S
lines: {line-xlr: {kind: line, level: +4 dBu, max: +24 dBu, source: 100 ohm, load: 10 kohm, balanced: true, plug: xlr}}
gear: {a: {outputs: {out1: line-xlr}}, b: {inputs: {in1: line-xlr}}}
wiring: [a/out1 -> b/in1]
`)
	p := schedule.Of(s).Cables[0].Pairs[0]
	if p.From.Gender != "female" || p.To.Gender != "male" || p.From.Hot+p.From.Cold+p.From.Shield != "231" || p.Cold != "carried" {
		t.Errorf("%+v", p)
	}
}

// What is done with the cold leg, by what drives it. The reasons are common practice,
// no published source; that of the transformer is from memory.
func TestRecipes(t *testing.T) {
	for stage, want := range map[string][2]string{
		"active": {"open", "6.02 dB less"}, "cross-coupled": {"grounded", "at the source"},
		"transformer": {"carried", "at the destination"}, "impedance": {"carried", "nothing is lost"}, "true": {"", "undecided"},
	} {
		s, _ := read(t, fmt.Sprintf(`studio: S
gear:
  a: {outputs: {out1: {line: pro-line, balanced: %s}}}
  b: {inputs: {in1: home-line, in2: pro-line}, outputs: {out1: home-line}}
bays: {main: {pairs: 2, modes: isolated}}
wiring: [a/out1 -> b/in1, b/out1 -> main/t1]
`, stage))
		made := schedule.Of(s)
		if p := made.Cables[0].Pairs[0]; p.Cold != want[0] || !strings.Contains(p.Because, want[1]) {
			t.Errorf("%s: %q because %q", stage, p.Cold, p.Because)
		}
		if p := made.Cables[1].Pairs[0]; p.Cold != "grounded" || !strings.Contains(p.Because, "source's sleeve") {
			t.Errorf("unbalanced to a bay: %q because %q", p.Cold, p.Because)
		}
	}
}

func TestOneJackInsert(t *testing.T) {
	for tip, want := range map[string]string{"send": "TR", "return": "RT"} {
		s, _ := read(t, fmt.Sprintf(`studio: S
gear: {desk: {inserts: {ins1: pro-line}, insert-tip: %s}}
bays: {main: {pairs: 1, modes: half-normal, rear: solder}}
wiring: [desk/ins1.send -> main/t1, main/b1 -> desk/ins1.return]
`, tip))
		made := schedule.Of(s)
		if len(made.Cables) != 1 || len(made.Cables[0].Pairs) != 2 {
			t.Fatalf("an insert on one jack is %d cables", len(made.Cables))
		}
		send, back := made.Cables[0].Pairs[0].From, made.Cables[0].Pairs[1].To
		if send.Plug != "trs" || send.Hot+back.Hot != want || send.Shield != "S" || back.Shield != "S" {
			t.Errorf("tip carries the %s: send %+v, return %+v", tip, send, back)
		}
		if len(made.Buy.Plugs) != 1 || made.Buy.Plugs[0].Count != 1 {
			t.Errorf("plugs are %+v", made.Buy.Plugs)
		}
	}
}

func TestLengthsAndWhatToBuy(t *testing.T) {
	s, _ := read(t, `studio: S
gear:
  a: {outputs: {out1-4: {line: pro-line, plug: xlr}}, place: {x: 0 cm, y: 100 cm}}
bays: {main: {pairs: 4, modes: isolated, rear: solder, at: {x: 200 cm, y: 150 cm}, pitch: 10 mm}}
wiring:
  - a/out1 -> main/t1
  - {from: a/out2, to: main/t2, length: 4 m}
  - {from: a/out3-4, to: main/t3-4, cable: "0007"}
`)
	made := schedule.Of(s)
	if c := made.Cables[0]; c.Number != "0007" || len(c.Pairs) != 2 || c.Kind != "pair-8" {
		t.Errorf("what has a number comes first: %+v", c)
	}
	// 2 m + 0.5 m, and half a metre at each end.
	if c := made.Cables[1]; !c.Estimated || c.Length != 350*measure.Centimetre {
		t.Errorf("the length is %v", c.Length)
	}
	if c := made.Cables[2]; c.Estimated || c.Length != 4*measure.Metre {
		t.Errorf("the length is %v", c.Length)
	}
	want := []schedule.Metres{{Kind: "pair", Length: 9 * measure.Metre, Cuts: 2}, {Kind: "pair-8", Length: 5 * measure.Metre, Cuts: 1}}
	if !slices.Equal(made.Buy.Cable, want) {
		t.Errorf("to buy: %+v", made.Buy.Cable)
	}
	if p := made.Buy.Plugs; len(p) != 1 || p[0] != (schedule.Plugs{Plug: "xlr", Gender: "female", Count: 4}) {
		t.Errorf("plugs: %+v", p)
	}
}

func TestLoudspeakerLinesStandApart(t *testing.T) {
	s, _ := read(t, `studio: S
gear:
  hp: {outputs: {out1: headphone}}
  cans: {inputs: {in1: headphone}, role: headphone}
  amp: {outputs: {out1: {line: loudspeaker, plug: locking}}}
  box: {inputs: {in1: loudspeaker}, role: loudspeaker}
wiring: [hp/out1 -> cans/in1, amp/out1 -> box/in1]
`)
	made := schedule.Of(s)
	if len(made.Loudspeakers) != 1 || made.Loudspeakers[0].Pairs[0].From.Point.Owner != "amp" || len(made.Cables) != 1 {
		t.Errorf("%d loudspeaker lines stand apart from %d cables", len(made.Loudspeakers), len(made.Cables))
	}
}

// A schedule is read back from its table, and nothing is lost: of the studios of
// rooms made up, whatever is wired in them.
func TestCSVIsReadBack(t *testing.T) {
	pairs := 0
	for seed := range uint64(60) {
		s := rooms.Draw(seed + 1).Studio
		for i := range s.Wires {
			if i%3 == 0 {
				s.Wires[i].Run.Cable = fmt.Sprintf("%04d", i/6)
			}
			if i%4 == 1 {
				s.Wires[i].Run.Length = measure.Length(i) * 125 * measure.Millimetre
				s.Cables = []studio.Cable{{Name: "pair", Pairs: 1, Colours: []string{"WH BU"}}}
				s.Wires[i].Run.Plugs = [2]string{`XLR, "gold"`, "päällä\nrivi"}
			}
		}
		made := schedule.Of(s)
		var b bytes.Buffer
		if err := schedule.WriteCSV(&b, made); err != nil {
			t.Fatal(err)
		}
		back, err := schedule.ReadCSV(strings.NewReader("\ufeff" + b.String()))
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		made.Buy = schedule.Buy{}
		for _, list := range [][]schedule.Cable{made.Cables, made.Loudspeakers} {
			for _, c := range list {
				for i := range c.Pairs {
					pairs++
					c.Pairs[i].Key = ""
				}
			}
		}
		if diff := cmp.Diff(made, back); diff != "" {
			t.Fatalf("seed %d: %s", seed, diff)
		}
		if len(schedule.Since(back, made)) != 0 {
			t.Errorf("seed %d: a schedule differs from itself", seed)
		}
	}
	if pairs < 100 {
		t.Errorf("only %d pairs were drawn", pairs)
	}
}

func TestReadCSVRefuses(t *testing.T) {
	for _, src := range []string{"", "a,b\n", "list,cable\r\n"} {
		if _, err := schedule.ReadCSV(strings.NewReader(src)); err == nil {
			t.Errorf("%q is read", src)
		}
	}
}

func TestSinceIsAShortList(t *testing.T) {
	const before = `studio: S
gear: {a: {outputs: {out1-4: pro-line}}}
bays: {main: {pairs: 4, modes: isolated, rear: solder}}
wiring: [a/out1 -> main/t1, a/out2 -> main/t2, {from: a/out3, to: main/t3, length: 2 m}]
`
	after := strings.NewReplacer("a/out2 -> main/t2", "a/out4 -> main/t2", "2 m", "3 m").Replace(before)
	a, _ := read(t, before)
	b, _ := read(t, after)
	changes := schedule.Since(schedule.Of(a), schedule.Of(b))
	var got []string
	for _, c := range changes {
		got = append(got, c.Do+" "+c.Cable.Pairs[0].From.Point.String()+strings.Join(c.What, "; "))
	}
	want := []string{"take out a/out2", "change a/out3length 2 m, now 3 m", "make a/out4"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// Numbers go on from the highest, and none that is there changes; comments stay.
func TestNumbering(t *testing.T) {
	const src = `studio: S
gear:
  a: {outputs: {out1-9: pro-line}, sockets: {d1: {plug: d-sub-25, ports: out1-4, pins: aes59}}}
bays: {main: {pairs: 9, modes: isolated, rear: solder}, far: {pairs: 4, modes: isolated}}
wiring:
  - a/out1-6 -> main/t1-6     # the first ones
  - {from: a/out7, to: main/t7, cable: "0003"}
  - {from: a/out8-9, to: main/t8-9, length: 2 m} # both
ties:
  - main/b1-2 = far/b1-2
`
	s, places := read(t, src)
	out, skipped := text.NumberCables([]byte(src), places, schedule.Numbering(s))
	if len(skipped) != 0 {
		t.Errorf("skipped %q", skipped)
	}
	want := `studio: S
gear:
  a: {outputs: {out1-9: pro-line}, sockets: {d1: {plug: d-sub-25, ports: out1-4, pins: aes59}}}
bays: {main: {pairs: 9, modes: isolated, rear: solder}, far: {pairs: 4, modes: isolated}}
wiring:
  - {from: a/out1-4, to: main/t1-4, cable: "0004"}     # the first ones
  - {from: a/out5, to: main/t5, cable: "0005"}
  - {from: a/out6, to: main/t6, cable: "0006"}
  - {from: a/out7, to: main/t7, cable: "0003"}
  - {from: a/out8, to: main/t8, cable: "0007", length: 2 m} # both
  - {from: a/out9, to: main/t9, cable: "0008", length: 2 m}
ties:
  - {from: main/b1, to: far/b1, cable: "0009"}
  - {from: main/b2, to: far/b2, cable: "0010"}
`
	if diff := cmp.Diff(want, string(out)); diff != "" {
		t.Error(diff)
	}
	again, _ := read(t, string(out))
	if left := schedule.Numbering(again); len(left) != 0 {
		t.Errorf("it would number again: %+v", left)
	}
	if changes := schedule.Since(schedule.Of(s), schedule.Of(again)); len(changes) != 0 {
		t.Errorf("numbers alone are taken for work: %+v", changes)
	}
}

// A line with each of its fields on a line of its own is divided as any other, and its
// comments stay; so is one at the end of a file, and one of a file of another system.
func TestNumberingOfSplitLines(t *testing.T) {
	const head = "studio: S\ngear: {a: {outputs: {out1-4: pro-line}}}\nbays: {main: {pairs: 4, modes: isolated, rear: solder}}\nwiring:\n"
	const src = head + `  - from: a/out1-2      # two
    # by the window
    to: main/t1-2
    length: 2 m

  # the next one
  -   from: a/out3
      to: main/t3
  - a/out4 -> main/t4`
	const want = head + `  - from: a/out1      # two
    # by the window
    to: main/t1
    length: 2 m
    cable: "0001"
  - from: a/out2
    to: main/t2
    length: 2 m
    cable: "0002"

  # the next one
  -   from: a/out3
      to: main/t3
      cable: "0003"
  - {from: a/out4, to: main/t4, cable: "0004"}
`
	for _, ending := range []string{"\n", "\r\n"} {
		src, want := strings.ReplaceAll(src, "\n", ending), strings.ReplaceAll(want, "\n", ending)
		s, places := read(t, src)
		out, skipped := text.NumberCables([]byte(src), places, schedule.Numbering(s))
		if diff := cmp.Diff(strings.TrimRight(want, "\r\n"), strings.TrimRight(string(out), "\r\n")); diff != "" || len(skipped) > 0 {
			t.Errorf("skipped %q, and (-want +got):\n%s", skipped, diff)
		}
		again, _ := read(t, string(out))
		if changes := schedule.Since(schedule.Of(s), schedule.Of(again)); len(changes) != 0 || len(schedule.Numbering(again)) != 0 {
			t.Errorf("numbers alone are taken for work: %+v", changes)
		}
	}
}

func TestLinesThatCannotBeNumberedAreLeft(t *testing.T) {
	const src = `studio: S
gear: {a: {outputs: {out1: pro-line}}, b: {inputs: {in1: pro-line}}, c: {inputs: {in1: pro-line}}}
wiring:
  - a/out1 -> [b/in1, c/in1]
`
	s, places := read(t, src)
	out, skipped := text.NumberCables([]byte(src), places, schedule.Numbering(s))
	if string(out) != src || !slices.Equal(skipped, []string{"wiring[0]"}) {
		t.Errorf("skipped %q, wrote\n%s", skipped, out)
	}
}

// BenchmarkFacility makes the schedule of a facility.
func BenchmarkFacility(b *testing.B) {
	s, _ := read(b, rooms.Facility(40))
	b.ResetTimer()
	for b.Loop() {
		schedule.Of(s)
	}
}
