package houses

import (
	"fmt"
	"slices"
)

// builder draws a studio, as the parts of its file.
type builder struct {
	dice
	size  Size
	title string
	bays  []*bay
	// outs and ins are ports of matrices that go to bays, in order.
	outs, ins []string
	matrices  []string // their lines
	wiring    []string
	ties      []string
	mults     []string
	gear      *gear
	faulty    []string
	rest      []string // crosspoints of the first matrix
	grid      string   // its name
	cords     []cords
	dummies   int // -1 for as many as it takes
}

// bay is a bay with what stands behind its jacks: empty for nothing yet.
type bay struct {
	name         string
	column       int
	x, y         int // centimetres
	tops, bottom []string
	modes        []string
	mult         int // jacks of its mult
}

// cords are those of one length in stock.
type cords struct{ length, count int }

func newBuilder(size Size, title string, d dice) *builder {
	return &builder{dice: d, size: size, title: title, gear: newGear(d)}
}

func (b *builder) build() {
	b.addBays()
	b.addMatrices()
	b.land()
	b.tie()
	b.populate()
	b.setModes()
	b.tag()
	b.stock()
}

func (b *builder) addBays() {
	count := b.size.bays()
	for i := range count {
		pairs := b.size.Pairs*(i+1)/count - b.size.Pairs*i/count
		column := i / b.size.high()
		one := &bay{
			name: fmt.Sprintf("bay%d", i), column: column, x: 200 * column, y: 100 - 5*(i%b.size.high()),
			tops: make([]string, pairs), bottom: make([]string, pairs), modes: make([]string, pairs),
		}
		if b.size.bays() <= 8 || i%2 == 0 {
			one.mult = []int{3, 4, 4, 4}[b.IntN(4)]
		}
		b.bays = append(b.bays, one)
	}
}

// pair is one of a bay, counted from 0.
type pair struct {
	*bay
	at int
}

func (p pair) top() string        { return fmt.Sprintf("%s/t%d", p.name, p.at+1) }
func (p pair) bottomJack() string { return fmt.Sprintf("%s/b%d", p.name, p.at+1) }

// of are the pairs of a column.
func (b *builder) of(column int) []pair {
	var pairs []pair
	for _, y := range b.bays {
		for i := range y.tops {
			if y.column == column {
				pairs = append(pairs, pair{y, i})
			}
		}
	}
	return pairs
}

// land brings matrices to the bays: inputs below, from gear above; outputs above,
// to gear below. Each column has its share, bay after bay; a few stand elsewhere.
func (b *builder) land() {
	columns := b.size.columns()
	begun := 0
	for c := range columns {
		pairs := b.of(c)
		share := func(ports []string) []string {
			return ports[len(ports)*begun/b.size.Pairs : len(ports)*(begun+len(pairs))/b.size.Pairs]
		}
		ins, outs := share(b.ins), share(b.outs)
		begun += len(pairs)
		for i, in := range ins {
			b.join(pairs[i].bottomJack(), in)
			pairs[i].bottom[pairs[i].at] = in
		}
		for i, out := range outs {
			p := pairs[len(ins)+i]
			if b.often(12) { // another top that is free
				p = one(b.dice, pairs[len(ins)+len(outs):])
				if p.tops[p.at] != "" {
					p = pairs[len(ins)+i]
				}
			}
			if p.tops[p.at] == "" {
				b.join(out, p.top())
				p.tops[p.at] = out
			}
		}
	}
}

func (b *builder) join(from, to string) { b.wiring = append(b.wiring, from+" -> "+to) }

// tie joins free bottoms of one column to free tops of another.
func (b *builder) tie() {
	columns := b.size.columns()
	if columns < 2 {
		return
	}
	for range b.size.ties() {
		c := b.IntN(columns)
		d := (c + 1 + b.IntN(columns-1)) % columns
		from := some(b.dice, slices.DeleteFunc(b.of(c), func(p pair) bool { return p.bottom[p.at] != "" }))
		to := some(b.dice, slices.DeleteFunc(b.of(d), func(p pair) bool { return p.tops[p.at] != "" }))
		if len(from) == 0 || len(to) == 0 {
			continue
		}
		b.ties = append(b.ties, from[0].bottomJack()+" = "+to[0].top())
		from[0].bottom[from[0].at], to[0].tops[to[0].at] = "tie", "tie"
	}
}

// populate puts gear behind the jacks that are left, but a few.
func (b *builder) populate() {
	for c := range b.size.columns() {
		pairs := b.of(c)
		b.gear.column(c, b.size.columns(), len(pairs))
		inserts := max(1, len(pairs)/30)
		for _, p := range some(b.dice, pairs) {
			if inserts > 0 && p.tops[p.at] == "" && p.bottom[p.at] == "" && b.often(50) {
				send, back := b.gear.insert()
				b.put(p, send, back)
				inserts--
			}
		}
		for _, p := range pairs {
			var out, in string
			if p.tops[p.at] == "" && !b.often(3) {
				out = b.gear.output()
			}
			if p.bottom[p.at] == "" && !b.often(4) {
				in = b.gear.input()
			}
			b.put(p, out, in)
		}
	}
}

func (b *builder) put(p pair, out, in string) {
	if out != "" {
		p.tops[p.at] = out
		b.join(out, p.top())
	}
	if in != "" {
		p.bottom[p.at] = in
		b.join(p.bottomJack(), in)
	}
}

// setModes: most pairs of an output over an input are normalled. An effect over an effect
// is not, since they could go round.
func (b *builder) setModes() {
	for _, y := range b.bays {
		for i := range y.modes {
			over, under := y.tops[i], y.bottom[i]
			switch {
			case over == "" || under == "":
				y.modes[i] = b.mode(10, 5, 80, 3)
			case effect(over) && effect(under):
				y.modes[i] = "isolated"
			case over == "tie" || under == "tie":
				y.modes[i] = b.mode(25, 6, 66, 0)
			case parts(over, under):
				y.modes[i] = b.mode(70, 30, 0, 0)
			default:
				y.modes[i] = b.mode(58, 22, 10, 4)
			}
		}
	}
}

// mode draws one of which those are the parts of a hundred; the rest are turned
// round.
func (b *builder) mode(half, full, isolated, parallel int) string {
	switch n := b.IntN(100); {
	case n < half:
		return "half-normal"
	case n < half+full:
		return "normal"
	case n < half+full+isolated:
		return "isolated"
	case n < half+full+isolated+parallel:
		return "parallel"
	}
	return "half-normal-top"
}

// tag finds fault with a jack or a normal now and then.
func (b *builder) tag() {
	for range 1 + b.size.Pairs/200 {
		y := one(b.dice, b.bays)
		if n := 1 + b.IntN(len(y.tops)); b.often(20) {
			b.faulty = append(b.faulty, fmt.Sprintf("%s/%s%d", y.name, one(b.dice, []string{"t", "b"}), n))
		}
		if n := 1 + b.IntN(len(y.tops)); b.often(10) && (y.modes[n-1] == "half-normal" || y.modes[n-1] == "normal") {
			b.faulty = append(b.faulty, fmt.Sprintf("normal %s/%d", y.name, n))
		}
	}
	slices.Sort(b.faulty)
	b.faulty = slices.Compact(b.faulty)
}

// stock is what is owned: of the short cords most, which in a full bay do not
// reach from end to end.
func (b *builder) stock() {
	short := one(b.dice, []int{40, 40, 30})
	if b.size.Pairs <= 30 {
		short = one(b.dice, []int{40, 20, 20})
	}
	b.cords = []cords{{short, b.size.between(10, 14, 34, 190)}, {70, b.size.between(6, 10, 24, 110)}}
	if b.size.columns() > 1 {
		b.cords = append(b.cords, cords{260, b.size.between(1, 2, 4, 24)})
	}
	b.dummies = one(b.dice, []int{-1, -1, 0, 1, 2})
	if b.dummies >= 0 && b.size.Pairs > Small.Pairs {
		b.dummies = b.size.between(0.5, 1, 2, 55)
	}
}
