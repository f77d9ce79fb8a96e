// Package tight draws rooms in which something is as scarce as can be: as many ties,
// jacks of mults, cords of a kind, dummies or outputs of a matrix as a session takes,
// or one or two fewer. About a third of the sessions can only just be given, a third
// lack one, and it is for who asks to find out which.
//
// Vocabulary: a shape is what is scarce; spare is how many more there are than it
// takes, negative where there are too few. The same seed gives the same room on every
// machine.
package tight

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// Room is the files of a studio, of a session and of the patch that is in.
type Room struct {
	Shape                    string
	Studio, Session, Present []byte
}

// shapes draw what is scarce.
var shapes = []struct {
	name string
	draw func(*room)
}{
	{"ties", (*room).ties},
	{"mults", (*room).mults},
	{"lengths", (*room).lengths},
	{"ends", (*room).ends},
	{"poles", (*room).poles},
	{"dummies", (*room).dummies},
	{"outputs", (*room).outputs},
	{"contacts", (*room).contacts},
	{"via", (*room).via},
	{"keep", (*room).keep},
	{"silent", (*room).silent},
	{"mixed", (*room).mixed},
	{"kinds", (*room).kinds},
	{"colours", (*room).colours},
	{"strips", (*room).strips},
	{"fan", (*room).fan},
	{"stereo", (*room).stereo},
	{"crowd", (*room).crowd},
}

// Shapes is how many shapes there are; seeds go round them.
var Shapes = uint64(len(shapes))

// Draw makes the room of a seed.
func Draw(seed uint64) Room {
	shape := shapes[seed%Shapes]
	r := &room{Rand: rand.New(rand.NewPCG(seed, 0x7469676874)), dummyCount: 8}
	r.spare = r.IntN(3) - 1
	shape.draw(r)
	return Room{shape.name, r.studio(shape.name), r.session(), r.present()}
}

// room is a room while it is drawn.
type room struct {
	*rand.Rand
	spare int
	// outs and ins count the ports of the gear.
	outs, ins                                  int
	bays, matrices, wires, tied, multed, stock []string
	dummyCount                                 int
	wants, keeps, silents, cords               []string
}

func (r *room) between(low, high int) int { return low + r.IntN(high-low+1) }

// bay adds a bay of so many pairs.
func (r *room) bay(name, jack string, pairs, x int, modes string) {
	r.bays = append(r.bays, fmt.Sprintf("  %s: {pairs: %d, jack: %s, at: {x: %d cm, y: 100 cm}, modes: {1-%d: %s}}", name, pairs, jack, x, pairs, modes))
}

// source wires the next output of gear to a jack or a matrix, input the next input.
func (r *room) source(to string) string {
	r.outs++
	out := fmt.Sprintf("stage/out%d", r.outs)
	r.wires = append(r.wires, out+" -> "+to)
	return out
}

func (r *room) input(from string) string {
	r.ins++
	in := fmt.Sprintf("hall/in%d", r.ins)
	r.wires = append(r.wires, from+" -> "+in)
	return in
}

// want asks for one source at some inputs; more is what else is asked of it.
func (r *room) want(source, more string, inputs ...string) {
	to := inputs[0]
	if len(inputs) > 1 {
		to = "[" + strings.Join(inputs, ", ") + "]"
	}
	line := fmt.Sprintf("'%s -> %s'", source, to)
	if more != "" {
		line = fmt.Sprintf("{from: %s, to: '%s', %s}", source, to, more)
	}
	r.wants = append(r.wants, line)
}

// cord adds cords to the stock.
func (r *room) cord(length int, more string, count int) {
	if count > 0 {
		r.stock = append(r.stock, fmt.Sprintf("{length: %d cm, count: %d%s}", length, count, more))
	}
}

func (r *room) studio(title string) []byte {
	var f strings.Builder
	section := func(key string, lines []string) {
		if len(lines) > 0 {
			fmt.Fprintf(&f, "%s:\n%s\n", key, strings.Join(lines, "\n"))
		}
	}
	listed := func(key string, items []string) {
		if len(items) > 0 {
			fmt.Fprintf(&f, "%s:\n  - %s\n", key, strings.Join(items, "\n  - "))
		}
	}
	fmt.Fprintf(&f, "studio: %s\ngear:\n  stage: {outputs: {out1-%d: pro-line}}\n  hall: {inputs: {in1-%d: pro-line}}\n", title, r.outs, r.ins)
	section("bays", r.bays)
	section("matrices", r.matrices)
	listed("wiring", r.wires)
	listed("ties", r.tied)
	listed("mults", r.multed)
	fmt.Fprintf(&f, "cords:\n  slack: 10 cm\n  stock:\n    - %s\n", strings.Join(r.stock, "\n    - "))
	fmt.Fprintf(&f, "dummies: %d\n", r.dummyCount)
	return []byte(f.String())
}

func (r *room) session() []byte {
	var f strings.Builder
	f.WriteString("session: tight\n")
	if len(r.wants) > 0 {
		fmt.Fprintf(&f, "connect:\n  - %s\n", strings.Join(r.wants, "\n  - "))
	}
	if len(r.keeps) > 0 {
		fmt.Fprintf(&f, "keep:\n  - %s\n", strings.Join(r.keeps, "\n  - "))
	}
	if len(r.silents) > 0 {
		fmt.Fprintf(&f, "silent: [%s]\n", strings.Join(r.silents, ", "))
	}
	return []byte(f.String())
}

func (r *room) present() []byte {
	if len(r.cords) == 0 {
		return []byte("patch: {}\n")
	}
	return []byte("patch:\n  cords: [" + strings.Join(r.cords, ", ") + "]\n")
}
