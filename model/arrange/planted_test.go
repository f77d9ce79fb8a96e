package arrange

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"bayhand/model/session"
	"bayhand/model/studio"
)

// planted is a room that was laid out by a hand, with sessions that were drawn
// around that layout: most of what they want is what a normal of it gives.
type planted struct {
	// wired is the room with the hand's layout, bare the same gear and bays with
	// nothing wired.
	wired, bare Request
}

// rack is what one bay of a planted room has: an interface and a desk, of a third
// of the pairs each, and units of two channels in about a quarter.
type rack struct{ bay, pairs, wide, units int }

func racks(pairs int) []rack {
	var all []rack
	for at := 0; at < pairs; at += 48 {
		n := min(48, pairs-at)
		wide := n / 3 / 2 * 2
		all = append(all, rack{bay: len(all), pairs: n, wide: wide, units: n / 12})
	}
	return all
}

func letter(n int) string { return string(rune('a'+n/26)) + string(rune('a'+n%26)) }

// drawPlanted draws a room of so many pairs, in bays of up to 48, and its sessions.
func drawPlanted(t testing.TB, random *rand.Rand, pairs, sessions int) planted {
	t.Helper()
	gear, bays, wiring := &strings.Builder{}, &strings.Builder{}, &strings.Builder{}
	var normals [][2]string
	for _, r := range racks(pairs) {
		normals = append(normals, r.write(random, gear, bays, wiring)...)
	}
	bare := readStudio(t, fmt.Sprintf("studio: Planted\ngear:\n%sbays:\n%s", gear, strings.ReplaceAll(bays.String(), "half-normal", "isolated")))
	wired := readStudio(t, fmt.Sprintf("studio: Planted\ngear:\n%sbays:\n%swiring:\n%s", gear, bays, wiring))
	p := planted{wired: Request{Studio: wired, Tidy: 5, Moves: -1}, bare: Request{Studio: bare, Tidy: 5, Moves: -1}}
	for n := range sessions {
		s := Weighted{drawAround(bare, random, normals, fmt.Sprintf("take-%d", n)), 1 + random.IntN(2)}
		p.wired.Sessions, p.bare.Sessions = append(p.wired.Sessions, s), append(p.bare.Sessions, s)
	}
	return p
}

// write adds the gear, the bay and the wiring of one rack. Which blocks stand over
// which is drawn, and so is their order. The answer is the half-normals by the names
// of their ports.
func (r rack) write(random *rand.Rand, gear, bays, wiring *strings.Builder) (normals [][2]string) {
	at := letter(r.bay)
	fmt.Fprintf(gear, "  desk%s: {outputs: {out1-%d: pro-line}, inputs: {in1-%d: pro-line}}\n", at, r.wide, r.wide)
	fmt.Fprintf(gear, "  interface%s: {outputs: {out1-%d: pro-line}, inputs: {in1-%d: pro-line}}\n", at, r.wide, r.wide)
	type half struct {
		owner  string
		number int
	}
	var tops, bottoms []half
	for n := 1; n <= r.wide; n += 2 {
		tops, bottoms = append(tops, half{"interface" + at, n}), append(bottoms, half{"desk" + at, n})
	}
	for n := 1; n <= r.wide; n += 2 {
		tops, bottoms = append(tops, half{"desk" + at, n}), append(bottoms, half{"interface" + at, n})
	}
	for n := range r.units {
		name := "unit" + at + letter(n)
		fmt.Fprintf(gear, "  %s: {channels: 2, line: pro-line}\n", name)
		tops, bottoms = append(tops, half{name, 1}), append(bottoms, half{name, 1})
	}
	// A few pairs of inputs change places, and runs of columns are drawn.
	for range len(tops) / 6 {
		a, b := random.IntN(len(tops)), random.IntN(len(tops))
		bottoms[a], bottoms[b] = bottoms[b], bottoms[a]
	}
	order := random.Perm((len(tops) + 3) / 4)
	fmt.Fprintf(bays, "  bay%s: {pairs: %d, modes: {1-%d: half-normal}}\n", at, r.pairs, r.pairs)
	pair := 1
	for _, run := range order {
		for n := 4 * run; n < min(len(tops), 4*run+4); n++ {
			top, bottom := tops[n], bottoms[n]
			fmt.Fprintf(wiring, "  - %s/out%d-%d -> bay%s/t%d-%d\n", top.owner, top.number, top.number+1, at, pair, pair+1)
			fmt.Fprintf(wiring, "  - bay%s/b%d-%d -> %s/in%d-%d\n", at, pair, pair+1, bottom.owner, bottom.number, bottom.number+1)
			for k := range 2 {
				if top.owner != bottom.owner {
					normals = append(normals, [2]string{fmt.Sprintf("%s/out%d", top.owner, top.number+k), fmt.Sprintf("%s/in%d", bottom.owner, bottom.number+k)})
				}
			}
			pair += 2
		}
	}
	return normals
}

// drawAround wants seven in ten of the normals, and the other inputs now and then
// from somewhere: from an output that is free, or, one time in five, as a tap.
func drawAround(s *studio.Studio, random *rand.Rand, normals [][2]string, name string) *session.Session {
	made := &session.Session{Name: name, Title: name, Program: -1}
	outs, ins := map[string]studio.Port{}, map[string]studio.Port{}
	var free, open []string
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Output {
				outs[p.Point.String()] = p
				free = append(free, p.Point.String())
			} else {
				ins[p.Point.String()] = p
				open = append(open, p.Point.String())
			}
		}
	}
	used, fed := map[string]bool{}, map[string]bool{}
	want := func(out, in string) {
		used[out], fed[in] = true, true
		made.Wants = append(made.Wants, session.Want{Source: outs[out].Point, Destination: ins[in].Point, Chain: len(made.Wants)})
	}
	for n := 0; n+1 < len(normals); n += 2 { // left and right go together
		if random.IntN(10) < 7 {
			want(normals[n][0], normals[n][1])
			want(normals[n+1][0], normals[n+1][1])
		}
	}
	for _, in := range open {
		out := free[random.IntN(len(free))]
		if fed[in] || random.IntN(3) > 0 || outs[out].Point.Owner == ins[in].Point.Owner || used[out] && random.IntN(5) > 0 {
			continue
		}
		want(out, in)
	}
	return made
}
