package text

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// passes reads ways through one piece of gear, whose ports stand without its
// name.
func (g *gearReader) passes(n *node) []studio.Pass {
	x := newIndex(&studio.Studio{Gear: []studio.Gear{*g.gear}})
	x.broken = g.file.broken
	var passes []studio.Pass
	for _, item := range g.wholeItems(n) {
		if p, ok := g.ownPair(item); ok {
			passes = append(passes, g.expandPass(item, p, x)...)
		}
	}
	return passes
}

// ownPair reads in1 => out1-2 as if the gear's name stood before each side.
func (g *gearReader) ownPair(n *node) (name.Pair, bool) {
	if !g.isText(n) {
		return name.Pair{}, false
	}
	p, err := name.ParseOwnPair(g.gear.Name, n.text, name.Into, name.All)
	if err != nil {
		g.nameFault(n, err)
	}
	return p, err == nil
}

// expandPass pairs the sides of a pass: => means all to all, -> one to one or
// one to all.
func (r *reader) expandPass(n *node, p name.Pair, x *index) []studio.Pass {
	ins, ok := r.refer(n, x, p.Left, "a pass begins at an input", gearInput)
	outs, ok2 := r.refer(n, x, p.Right, "a pass ends at an output", gearOutput)
	if !ok || !ok2 {
		return nil
	}
	var passes []studio.Pass
	if p.Operator == name.All {
		r.spend(n, len(ins)*len(outs))
		for _, in := range ins {
			for _, out := range outs {
				passes = append(passes, studio.Pass{In: in, Out: out})
			}
		}
		return passes
	}
	if len(outs) == 1 && len(ins) > 1 {
		r.faultIn(n, p.Left.At, "count", "write => for all to all", "%s stands for %d points and %s for one", p.Left.Text, len(ins), p.Right.Text)
		return nil
	}
	pairs, _ := r.match(n, p.Left, p.Right, ins, outs)
	for _, pair := range pairs {
		passes = append(passes, studio.Pass{In: pair[0], Out: pair[1]})
	}
	return passes
}
