package rooms

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// wire lands outputs mostly on top and inputs mostly on the bottom, as bays are
// wired, often both at one pair; some ports stay free for leads, and some go
// straight to each other.
func (d *drawer) wire() {
	for len(d.outputs) > 0 && len(d.jacks) > 0 && d.often(92) {
		from, _ := d.take(&d.outputs)
		to, _ := d.takeOf(d.side(studio.Top), &d.jacks)
		d.join(from, to)
		beside := name.At(to.Owner, opposite(to.Stem), to.Number)
		if len(d.inputs) > 0 && d.often(50) && remove(&d.jacks, beside) {
			in, _ := d.take(&d.inputs)
			d.join(beside, in)
		}
	}
	for len(d.inputs) > 0 && len(d.jacks) > 0 && d.often(85) {
		to, _ := d.take(&d.inputs)
		from, _ := d.takeOf(d.side(studio.Bottom), &d.jacks)
		d.join(from, to)
	}
	if len(d.outputs) > 0 && len(d.inputs) > 0 && d.often(30) {
		from, _ := d.take(&d.outputs)
		to, _ := d.take(&d.inputs)
		d.join(from, to)
	}
}

// around feeds many inputs of a matrix and uses many of its outputs, through a
// pair of a bay or straight; else little would ever be heard through it.
func (d *drawer) around(m studio.Matrix) {
	for n := 1; n <= m.Inputs; n++ {
		if len(d.outputs) > 0 && d.often(60) && remove(&d.inputs, m.In(n)) {
			from, _ := d.take(&d.outputs)
			d.through(from, m.In(n))
		}
	}
	for n := 1; n <= m.Outputs; n++ {
		if len(d.inputs) > 0 && d.often(60) && remove(&d.outputs, m.Out(n)) {
			to, _ := d.take(&d.inputs)
			d.through(m.Out(n), to)
		}
	}
}

// through leads an output to an input through a pair whose rears are free, or
// straight where there is none.
func (d *drawer) through(from, to name.Point) {
	for _, top := range d.jacks {
		bottom := name.At(top.Owner, studio.Bottom, top.Number)
		if top.Stem == studio.Top && d.often(50) && remove(&d.jacks, bottom) {
			remove(&d.jacks, top)
			d.join(from, top)
			d.join(bottom, to)
			return
		}
	}
	d.join(from, to)
}

func (d *drawer) join(from, to name.Point) {
	d.studio.Wires = append(d.studio.Wires, studio.Wire{From: from, To: to})
	d.shielded = append(d.shielded, from, to)
}

// behind adds boxes, ties and mults to jacks whose rear is free, and strapped
// normals between any.
func (d *drawer) behind() {
	d.box()
	for len(d.jacks) >= 2 && d.often(40) {
		a, _ := d.take(&d.jacks)
		b, _ := d.take(&d.jacks)
		d.studio.Ties = append(d.studio.Ties, studio.Tie{A: a, B: b})
	}
	for len(d.jacks) >= 3 && d.often(30) {
		var m studio.Mult
		for range 3 + d.upTo(min(2, len(d.jacks)-3)) {
			p, _ := d.take(&d.jacks)
			m.Jacks = append(m.Jacks, p)
		}
		d.studio.Mults = append(d.studio.Mults, m)
	}
	for d.often(20) {
		free := jacks(d.studio)
		from, _ := d.takeOf(studio.Top, &free)
		to, _ := d.takeOf(studio.Bottom, &free)
		d.studio.Normals = append(d.studio.Normals, studio.Normal{From: from, To: to})
	}
}

// box adds a box now and then, each socket of it tied to a jack.
func (d *drawer) box() {
	if len(d.jacks) == 0 || !d.often(35) {
		return
	}
	box := studio.Box{Name: "box", Sockets: 1 + d.upTo(min(2, len(d.jacks)-1))}
	for n := 1; n <= box.Sockets; n++ {
		jack, _ := d.take(&d.jacks)
		d.studio.Ties = append(d.studio.Ties, studio.Tie{A: box.Socket(n), B: jack})
	}
	d.studio.Boxes = []studio.Box{box}
	d.sockets = sockets(d.studio)
}

func sockets(s *studio.Studio) []name.Point {
	var all []name.Point
	for _, box := range s.Boxes {
		for n := 1; n <= box.Sockets; n++ {
			all = append(all, box.Socket(n))
		}
	}
	return all
}

// inside is what the software carries, in one room of four.
func (d *drawer) inside() []studio.Pass {
	ins, outs := d.studio.Ends(studio.Input), d.studio.Ends(studio.Output)
	var passes []studio.Pass
	for len(ins) > 0 && len(outs) > 0 && len(passes) < 4 && d.often(25+20*len(passes)) {
		passes = append(passes, studio.Pass{In: ins[d.r.IntN(len(ins))], Out: outs[d.r.IntN(len(outs))]})
	}
	return passes
}
