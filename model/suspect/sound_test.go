package suspect_test

import (
	"testing"

	"bayhand/model/reading"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/model/tones"
	"bayhand/simulators/contacts"

	"bayhand/model/patch"
	"bayhand/simulators/sound"
)

// short is the period of the test sound in most rooms, in samples: a quarter of the usual
// one, since sound takes its time. With it, wow of a part in a hundred is too much for a path.
const short = 1 << 14

// tests are test sounds by their width and period, each output played as all of them are.
var tests = map[[2]int]*test{}

type test struct {
	comb   *tones.Comb
	played [][]float32
}

func testOf(t *testing.T, wide, period int) *test {
	t.Helper()
	key := [2]int{wide, period}
	if tests[key] == nil {
		comb, err := tones.NewOf(48000, wide, period)
		if err != nil {
			t.Fatal(err)
		}
		one := &test{comb: comb}
		for o := range wide {
			one.played = append(one.played, comb.Sound(tones.FirstLevel, []int{o}).Channel(0))
		}
		tests[key] = one
	}
	return tests[key]
}

// listen plays the test sound of a period in a room and reads what its inputs record.
func (u *usual) listen(t *testing.T, c *suspect.Scene, p patch.Patch, faults []contacts.Fault, period int) [][]reading.Path {
	t.Helper()
	test := testOf(t, u.wide, period)
	wow := 0.01
	if period == short {
		wow = 0.002
	}
	clock := 0.0 // of its own in every eighth room, since reading takes longer then
	if u.random.IntN(8) == 0 {
		clock = 200*u.random.Float64() - 100
	}
	r := &sound.Room{Studio: u.studio, States: []sound.State{{Patch: p, Faults: faults}}, Outputs: c.Outputs, Inputs: c.Inputs,
		Boxes: u.boxes(wow), Crosstalk: -90,
		Device: sound.Device{Noise: -100, Bits: 24, Late: u.random.IntN(period * 3 / 8), Clock: clock, Seed: u.random.Uint64()}}
	recorded, err := r.Record(test.played)
	if err != nil {
		t.Fatal(err)
	}
	read, err := reading.NewEar(test.comb, tones.FirstLevel).Read(reading.Recording{Rate: 48000, Channels: recorded})
	if err != nil {
		t.Fatal(err)
	}
	return read.Paths
}

// boxes are what the effects of a room do; a tape has so much wow.
func (u *usual) boxes(wow float64) map[studio.Pass]sound.Box {
	boxes := map[studio.Pass]sound.Box{}
	for _, g := range u.studio.Gear {
		for _, pass := range g.Passes {
			switch u.random.IntN(6) {
			case 0:
				boxes[pass] = sound.Gain(0.05 + u.random.Float64())
			case 1:
				boxes[pass] = sound.NewDelay(1+u.random.IntN(20000), 0.4*u.random.Float64())
			case 2:
				boxes[pass] = &sound.Compressor{Threshold: -80, Ratio: 4}
			case 3:
				boxes[pass] = sound.Overdrive{Gain: 200}
			case 4:
				boxes[pass] = sound.NewTape(wow, wow/10)
			}
		}
	}
	return boxes
}

// With sound, through gear and converters, every pair is classed as a voltmeter
// classes it, in clean rooms and with a planted mistake; but for what comes through gear: where
// it should come directly a voltmeter that knows no gear does not say its level, and where gear
// makes it so quiet that it counts as none, it is found and absent. Such a room need not be
// explained by one mistake. Every fifteenth room is listened to as long as a real one.
// BAYHAND_SOUNDS says how many rooms, BAYHAND_FROM from which on.
func TestSoundAgreesWithAVoltmeter(t *testing.T) {
	pairs, planted, long, quiet := 0, 0, 0, 0
	first := countOf("BAYHAND_FROM", 0)
	for seed := first; seed < first+countOf("BAYHAND_SOUNDS", 4); seed++ {
		period := short
		if seed%15 == 0 {
			period, long = tones.Period(48000), long+1
		}
		u := draw(uint64(1000+seed), 8, 3)
		c := u.scene()
		p := plantedIn(u, seed)
		u.mark()
		in := *u
		if p.studio != nil {
			in.studio = p.studio
		}
		if p.code != "" {
			planted++
		}
		read := in.listen(t, c, p.patch, p.faults, period)
		heard := c.Judge(read)
		metal := in.measure(t, c, p.patch, p.faults)
		meter := c.Judge(metal)
		before := quiet
		for at := range heard {
			pairs++
			o, i := at%len(c.Outputs), at/len(c.Outputs)
			through := metal[i][o].Delay > 0
			if through && read[i][o].Found && heard[at] == suspect.Absent && meter[at] != suspect.Absent {
				quiet++
				continue
			}
			geared := through && c.Direct(o, i) && heard[at] != suspect.Absent
			if heard[at] != meter[at] && !geared {
				t.Errorf("room %d, %s at %v: %v -> %v is %s by sound and %s by the meter", seed, p.code, p.at,
					c.Outputs[o], c.Inputs[i], heard[at], meter[at])
			}
		}
		if answer := c.Explain(heard); p.code == "" && len(answer.Findings)+len(answer.Unexplained) > 0 {
			t.Errorf("room %d is clean and has findings: %+v", seed, answer.Findings)
		} else if quiet == before && (len(answer.Unexplained) > 0 || len(answer.Findings) > 1) {
			t.Errorf("room %d, %s at %v: not explained by one mistake: %+v", seed, p.code, p.at, answer)
		}
	}
	t.Logf("%d pairs, %d rooms with a mistake, %d listened to as long as a real one, %d pairs too quiet through gear", pairs, planted, long, quiet)
	if quiet*10000 > max(pairs, 10000) {
		t.Errorf("%d of %d pairs are too quiet through gear", quiet, pairs)
	}
}

// plantedIn is a mistake in every other room.
func plantedIn(u *usual, seed int) planted {
	if seed%2 == 0 {
		return planted{patch: u.patch}
	}
	for k := seed; ; k++ {
		if p, ok := u.plant(kinds[k%len(kinds)]); ok {
			return p
		}
	}
}

// What is said to be seen is what a look at every single mistake gives, and a sure
// cord is read otherwise in every other free jack, by the metal itself.
func TestSeenIsSeenInMetal(t *testing.T) {
	for seed := range countOf("BAYHAND_SEEN", 2) {
		u := draw(uint64(500+seed), 8, 3)
		c := u.scene()
		clean := c.Judge(u.measure(t, c, u.patch, nil))
		for i, s := range c.Sights() {
			without := u.patch.Clone()
			without.Cords = append(without.Cords[:i:i], without.Cords[i+1:]...)
			if lost := loses(clean, c.Judge(u.measure(t, c, without, nil))); lost != s.Seen {
				t.Errorf("room %d, %v: seen is %v, and without it the metal loses a path: %v", seed, s.Cord, s.Seen, lost)
			}
			if !s.Sure {
				continue
			}
			for _, to := range u.free() {
				other := u.patch.Clone()
				other.Cords[i].B = to
				if same(clean, c.Judge(u.measure(t, c, other, nil))) {
					t.Errorf("room %d, %v is sure, and reads the same in %v", seed, s.Cord, to)
				}
			}
		}
	}
}

func loses(before, after []suspect.Class) bool {
	for at := range before {
		if before[at] != suspect.Absent && after[at] == suspect.Absent {
			return true
		}
	}
	return false
}

func same(a, b []suspect.Class) bool {
	for at := range a {
		if a[at] != b[at] {
			return false
		}
	}
	return true
}

// Two and three faults at once: mended one by one as told, the room is clean after
// at most one round more than there were. BAYHAND_ROUNDS says how many rooms.
func TestMendedOneByOne(t *testing.T) {
	rounds, over := 0, 0
	for seed := range countOf("BAYHAND_ROUNDS", 4) {
		u := draw(uint64(3000+seed), 8, 3)
		c := u.scene()
		broken := u.random.Perm(len(u.patch.Cords))[:2+seed%2]
		for k := 0; ; k++ {
			var faults []contacts.Fault
			for n, at := range broken {
				faults = append(faults, contacts.Fault{Cord: u.patch.Cords[at], Hot: []contacts.Ohm{contacts.Open, 0, contacts.Open}[n%3],
					Cold: []contacts.Ohm{0, 0, contacts.Open}[n%3], Reversed: n%3 == 1})
			}
			answer := c.Explain(c.Judge(u.measure(t, c, u.patch, faults)))
			if len(answer.Findings)+len(answer.Unexplained) == 0 {
				break
			}
			if k > 3 {
				over++
				t.Logf("room %d: %v is left after %d rounds", seed, broken, k)
				break
			}
			rounds++
			broken = mend(u, broken, answer)
		}
	}
	t.Logf("%d rounds, %d rooms not clean after one more than there were faults", rounds, over)
	if over > 0 {
		t.Errorf("%d rooms are not clean", over)
	}
}

// mend takes out what the first finding names: it, or the first of its other
// causes that is a fault.
func mend(u *usual, broken []int, answer suspect.Answer) []int {
	for _, f := range answer.Findings {
		for _, m := range append([]suspect.Mistake{f.Mistake}, f.OrElse...) {
			for n, at := range broken {
				if m.Concerns(u.patch.Cords[at]) {
					return append(broken[:n:n], broken[n+1:]...)
				}
			}
		}
	}
	return broken
}
