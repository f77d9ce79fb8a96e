// Package buildings makes up studios of many rooms under one roof, with a session for
// each room.
//
// A room has a desk, a recorder and a bay, and lines to the bays of a machine room,
// which is in no room: gear stands there that any room may use. Some rooms have a
// matrix of their own. A session joins desk and recorder, and now and then gear of the
// machine room by the room's lines.
package buildings

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Size is how large a building is.
type Size struct {
	Rooms int
	// Matrices is how many of the rooms have a matrix of 16 x 16.
	Matrices int
	// Pairs is how many pairs the bay of a room has, 24 or more.
	Pairs int
	// Units is how many units of gear stand in the machine room.
	Units int
	// Owned is how many cords are owned; 0 for as many as it takes.
	Owned int
}

// Building is a studio with the sessions of its rooms, of which there are two each.
type Building struct {
	Studio   *studio.Studio
	Source   string
	Sessions [][2]*session.Session
	// Sources are the files of the sessions, by their names.
	Sources map[string]string
}

// lines is how many lines a room has to the machine room, and drawn how many lines a
// session asks for.
const (
	lines = 8
	drawn = 6
	core  = 48 // pairs of a bay of the machine room
)

// Draw makes a building: the same for a size and a seed on every machine.
func Draw(size Size, seed uint64) Building {
	b := builder{size: size, draw: rand.New(rand.NewPCG(seed, 0x6275696c64))}
	b.build()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(b.file()))
	if problems.Errors() {
		panic(fmt.Sprintf("a building was written that cannot be read: %v", problems))
	}
	all := Building{Studio: s, Source: b.file(), Sources: map[string]string{}}
	for r := 1; r <= size.Rooms; r++ {
		var two [2]*session.Session
		for i := range two {
			called := fmt.Sprintf("r%d-%c", r, 'a'+rune(i))
			all.Sources[called] = b.session(called, r)
			two[i] = read(called, all.Sources[called], s)
		}
		all.Sessions = append(all.Sessions, two)
	}
	return all
}

func read(called, source string, s *studio.Studio) *session.Session {
	one, _, problems := text.ReadSession(called+".yaml", []byte(source), s, nil)
	if problems.Errors() {
		panic(fmt.Sprintf("a session was written that cannot be read: %v", problems))
	}
	one.Name = called
	return one
}

type builder struct {
	size                                    Size
	draw                                    *rand.Rand
	gear, bays, matrices, wires, ties, room []string
}

func (b *builder) build() {
	for r := 1; r <= b.size.Rooms; r++ {
		b.addRoom(r)
	}
	b.addMachineRoom()
}

func (b *builder) addRoom(r int) {
	b.gear = append(b.gear, fmt.Sprintf("desk-%[1]d: {outputs: {out1-8: pro-line}, inputs: {in1-8: pro-line}}", r),
		fmt.Sprintf("tape-%[1]d: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}", r))
	b.bays = append(b.bays, fmt.Sprintf("bay-%d: {pairs: %d, modes: {1-8: half-normal, 9-12: normal, 13-%[2]d: isolated}}", r, b.size.Pairs))
	b.wire("desk-%[1]d/out1-8 -> bay-%[1]d/t1-8", r)
	b.wire("bay-%[1]d/b1-4 -> tape-%[1]d/in1-4", r)
	b.wire("tape-%[1]d/out1-4 -> bay-%[1]d/t9-12", r)
	b.wire("bay-%[1]d/b9-12 -> desk-%[1]d/in1-4", r)
	b.wire("bay-%[1]d/b13-16 -> desk-%[1]d/in5-8", r)
	parts := fmt.Sprintf("bay-%d, desk-%[1]d, tape-%[1]d", r)
	if r <= b.size.Matrices {
		b.matrices = append(b.matrices, fmt.Sprintf("grid-%d: {inputs: 16, outputs: 16}", r))
		b.wire("bay-%[1]d/b17-20 -> grid-%[1]d/in1-4", r)
		b.wire("grid-%[1]d/out1-4 -> bay-%[1]d/t17-20", r)
		parts += fmt.Sprintf(", grid-%d", r)
	}
	b.room = append(b.room, fmt.Sprintf("r%d: [%s]", r, parts))
	for n := range lines {
		at := (r-1)*lines + n
		jack := fmt.Sprintf("bay-%d/t%d", r, b.size.Pairs-n)
		if n%2 == 1 {
			jack = fmt.Sprintf("bay-%d/b%d", r, b.size.Pairs-n)
		}
		b.ties = append(b.ties, fmt.Sprintf("%s = core-%d/t%d", jack, at/core+1, at%core+1))
	}
}

func (b *builder) wire(format string, r int) { b.wires = append(b.wires, fmt.Sprintf(format, r)) }

// addMachineRoom has the units on the bottom rows of its bays.
func (b *builder) addMachineRoom() {
	bays := (b.size.Rooms*lines + core - 1) / core
	for i := 1; i <= bays; i++ {
		b.bays = append(b.bays, fmt.Sprintf("core-%d: {pairs: %d, modes: isolated}", i, core))
	}
	for u := 1; u <= min(b.size.Units, bays*core/2); u++ {
		b.gear = append(b.gear, fmt.Sprintf("unit-%d: {channels: 1, line: pro-line}", u))
		at := 2 * (u - 1)
		b.wires = append(b.wires, fmt.Sprintf("unit-%d/out1 -> core-%d/b%d", u, at/core+1, at%core+1),
			fmt.Sprintf("core-%d/b%d -> unit-%d/in1", at/core+1, at%core+2, u))
	}
}

func (b *builder) file() string {
	var to strings.Builder
	fmt.Fprintf(&to, "studio: Building of %d rooms\n", b.size.Rooms)
	list := func(key string, all []string, mark string) {
		if len(all) > 0 {
			fmt.Fprintf(&to, "%s:\n%s%s\n", key, mark, strings.Join(all, "\n"+mark))
		}
	}
	list("gear", b.gear, "  ")
	list("bays", b.bays, "  ")
	list("matrices", b.matrices, "  ")
	list("wiring", b.wires, "  - ")
	list("ties", b.ties, "  - ")
	list("rooms", b.room, "  ")
	if b.size.Owned > 0 {
		fmt.Fprintf(&to, "cords: {stock: {200 cm: %d}}\n", b.size.Owned)
	}
	return to.String()
}

// session is one of a room: each of its lines to a destination of its own, and one room
// in three to a unit of the machine room, which is that room's alone.
func (b *builder) session(called string, r int) string {
	var asked []string
	in := b.draw.Perm(8)
	tape := b.draw.Perm(4)
	out := b.draw.Perm(8)
	for n := range drawn {
		switch {
		case n < 3:
			asked = append(asked, fmt.Sprintf("desk-%[1]d/out%[2]d -> tape-%[1]d/in%[3]d", r, out[n]+1, tape[n]+1))
		case n == 5 && r%3 == 1 && r/3 < b.size.Units:
			asked = append(asked, fmt.Sprintf("desk-%[1]d/out%[2]d -> unit-%[3]d/in1", r, out[n]+1, r/3+1),
				fmt.Sprintf("unit-%[3]d/out1 -> desk-%[1]d/in%[2]d", r, in[n]+1, r/3+1))
		default:
			asked = append(asked, fmt.Sprintf("tape-%[1]d/out%[2]d -> desk-%[1]d/in%[3]d", r, n-2, in[n]+1))
		}
	}
	return fmt.Sprintf("session: %s\nconnect:\n  - %s\n", called, strings.Join(asked, "\n  - "))
}
