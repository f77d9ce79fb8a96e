package tight

import "fmt"

// ways is how many pairs of columns each bay of a room has: sources at the top, inputs
// at the bottom, then what is scarce.
const ways = 12

// far makes two bays that no cord joins.
func (r *room) far() {
	r.bay("main", "bantam", 24, 0, "isolated")
	r.bay("far", "bantam", 24, 400, "isolated")
	r.cord(60, "", 60)
}

// ties: sources of one bay go to inputs of another by fewer ties, some of them to two
// inputs there, and some stay where they are.
func (r *room) ties() {
	r.far()
	n := r.between(2, 6)
	r.tie(n, r.spare)
}

// tie makes ties, and wants that take so many of them.
func (r *room) tie(taken, spare int) {
	for i := range max(1, taken+spare) {
		r.tied = append(r.tied, fmt.Sprintf("main/t%d = far/t%d", 13+i, 13+i))
	}
	r.multed = append(r.multed, "[far/b20, far/t21, far/b21, far/t22]")
	split := r.IntN(3) == 0
	for i := range taken {
		s := r.source(fmt.Sprintf("main/t%d", i+1))
		in := []string{r.input(fmt.Sprintf("far/b%d", i+1))}
		if split && i == 0 {
			in = append(in, r.input(fmt.Sprintf("far/b%d", ways)))
		}
		r.want(s, "", in...)
	}
	for i := range r.IntN(3) {
		r.want(r.source(fmt.Sprintf("main/t%d", taken+i+1)), "", r.input(fmt.Sprintf("main/b%d", taken+i+1)))
	}
}

// split makes sources that go to several inputs, and mults for some of them.
func (r *room) split(splits, spare int) {
	for i := range max(0, splits+spare) {
		r.multed = append(r.multed, fmt.Sprintf("[main/t%d, main/b%d, main/t%d, main/b%d]", 40-2*i, 40-2*i, 39-2*i, 39-2*i))
	}
	for i := range splits {
		s := r.source(fmt.Sprintf("main/t%d", i+1))
		var in []string
		for k := range r.between(2, 3) {
			in = append(in, r.input(fmt.Sprintf("main/b%d", 3*i+k+1)))
		}
		r.want(s, "", in...)
	}
}

// oneBay is all that there is.
func (r *room) oneBay() { r.bay("main", "bantam", 40, 0, "isolated") }

// mults: sources that go to several inputs, by a mult each.
func (r *room) mults() {
	r.oneBay()
	r.cord(60, "", 60)
	r.split(r.between(1, 4), r.spare)
}

// lengths: inputs that only the longer cords reach.
func (r *room) lengths() {
	r.bay("main", "bantam", 12, 0, "isolated")
	r.bay("far", "bantam", 12, 60, "isolated")
	n := r.between(2, 8)
	near := r.IntN(4)
	r.cord(40, "", near+4)
	r.cord(120, "", max(0, n+r.spare))
	for i := range n {
		r.want(r.source(fmt.Sprintf("main/t%d", i+1)), "", r.input(fmt.Sprintf("far/b%d", i+1)))
	}
	for i := range near {
		r.want(r.source(fmt.Sprintf("far/t%d", i+1)), "", r.input(fmt.Sprintf("far/b%d", n+i+1)))
	}
}

// ends: two kinds of jack, and few cords with a plug for each.
func (r *room) ends() {
	r.bay("main", "bantam", 12, 0, "isolated")
	r.bay("far", "quarter-inch", 12, 0, "isolated")
	n := r.between(2, 6)
	r.cord(60, ", ends: [bantam, bantam]", 9)
	r.cord(60, ", ends: [quarter-inch, quarter-inch]", 9)
	r.cord(60, ", ends: [bantam, quarter-inch]", max(0, n+r.spare))
	for i := range n {
		r.want(r.source(fmt.Sprintf("main/t%d", i+1)), "", r.input(fmt.Sprintf("far/b%d", i+1)))
	}
	for i := range r.IntN(4) {
		r.want(r.source(fmt.Sprintf("main/t%d", n+i+1)), "", r.input(fmt.Sprintf("main/b%d", i+1)))
	}
}

// poles: as many cords as it takes, of both numbers of poles.
func (r *room) poles() {
	r.bay("main", "bantam", 16, 0, "isolated")
	n := r.between(3, 8)
	two := r.IntN(n)
	r.cord(60, ", poles: 2", two)
	r.cord(60, ", poles: 3", n-two+r.spare)
	for i := range n {
		r.want(r.source(fmt.Sprintf("main/t%d", i+1)), "", r.input(fmt.Sprintf("main/b%d", n-i)))
	}
}

// dummies: inputs that hear something by a normal and must not, and dummies or cords
// that hang for each.
func (r *room) dummies() { r.quiet("half-normal") }

// silent: as dummies, with normals that a plug at either end breaks.
func (r *room) silent() { r.quiet("normal") }

func (r *room) quiet(mode string) {
	r.bay("main", "bantam", 16, 0, mode)
	n, busy := r.between(2, 6), r.between(1, 4)
	r.dummyCount = r.IntN(n + 1)
	r.cord(60, "", max(1, n-r.dummyCount+busy+r.spare))
	var sources []string
	for i := range n + 2*busy {
		sources = append(sources, r.source(fmt.Sprintf("main/t%d", i+1)))
	}
	for i := range n {
		r.silents = append(r.silents, r.input(fmt.Sprintf("main/b%d", i+1)))
	}
	for i := range busy {
		r.want(sources[n+i], "", r.input(fmt.Sprintf("main/b%d", n+busy+i+1)))
	}
}

// outputs: a far bay that is fed by some outputs of a matrix alone.
func (r *room) outputs() { r.matrix("", "") }

// contacts: the same with relays.
func (r *room) contacts() { r.matrix(", kind: contacts", "") }

// via: what goes by way of the matrix could go by cords.
func (r *room) via() { r.matrix([]string{"", ", kind: contacts"}[r.IntN(2)], "via: grid") }

func (r *room) matrix(kind, via string) {
	r.bay("main", "bantam", 16, 0, "isolated")
	far, x := "far", 400
	if via != "" {
		x = 0
	}
	r.bay(far, "bantam", 16, x, "isolated")
	r.cord(60, "", 60)
	n := r.between(2, 5)
	ins, outs := n+r.IntN(3), max(1, n+r.spare)
	if r.IntN(3) == 0 {
		ins, outs = max(1, n+r.spare), n+r.IntN(3)
	}
	r.matrices = append(r.matrices, fmt.Sprintf("  grid: {inputs: %d, outputs: %d%s}", ins, outs, kind))
	for i := range ins {
		r.wires = append(r.wires, fmt.Sprintf("main/b%d -> grid/in%d", i+1, i+1))
	}
	for i := range outs {
		r.wires = append(r.wires, fmt.Sprintf("grid/out%d -> far/t%d", i+1, i+1))
	}
	for i := range n {
		r.want(r.source(fmt.Sprintf("main/t%d", i+1)), via, r.input(fmt.Sprintf("far/b%d", i+1)))
	}
	for i := range r.IntN(3) {
		r.want(r.source(fmt.Sprintf("main/t%d", n+i+1)), "", r.input(fmt.Sprintf("main/b%d", 9+i)))
	}
}

// keep: as ties, some of which carry what must not be interrupted.
func (r *room) keep() {
	r.far()
	n := r.between(2, 5)
	for i := range n + r.spare {
		r.tied = append(r.tied, fmt.Sprintf("main/t%d = far/t%d", 13+i, 13+i))
	}
	for i := range n {
		s, in := r.source(fmt.Sprintf("main/t%d", i+1)), r.input(fmt.Sprintf("far/b%d", i+1))
		if i < min(2, n+r.spare) {
			r.keeps = append(r.keeps, s+" -> "+in)
			r.cords = append(r.cords, fmt.Sprintf("main/t%d - main/b%d", i+1, 13+i), fmt.Sprintf("far/t%d - far/b%d", 13+i, i+1))
			continue
		}
		r.want(s, "", in)
	}
}

// mixed: ties and cords are scarce, or mults and cords.
func (r *room) mixed() {
	if r.IntN(2) == 0 {
		r.bay("main", "bantam", 24, 0, "isolated")
		r.bay("far", "bantam", 24, 400, "isolated")
		n := r.between(2, 5)
		r.cord(60, "", 2*n+r.IntN(3))
		r.tie(n, r.spare)
		return
	}
	r.oneBay()
	n := r.between(2, 3)
	r.cord(60, "", 3*n+r.IntN(4))
	r.split(n, 0)
}
