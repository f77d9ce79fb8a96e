package rooms

import (
	"fmt"
	"strings"
)

// Facility is the studio file of a house with many rooms: bays of 48 half-normal
// pairs, with two matrices of 64 by 64 for each five of them, and 150 ports of
// gear a bay. Forty bays have 16 matrices and 6,000 ports. Signals go from gear to
// gear along the bays, so that much comes before everything; every output of a
// matrix listens at rest. The count of bays is a multiple of five.
func Facility(bays int) string {
	f := &facility{}
	for b := 1; b <= bays; b++ {
		f.bay(b, bays)
	}
	for m := 1; m <= bays*2/5; m++ {
		f.matrix(m)
	}
	f.straight(bays * 150)
	return f.file(bays)
}

// facility gathers the parts of the file.
type facility struct {
	gear, bays, matrices, wiring, rest strings.Builder
	ports                              int
}

// rackName is the name of a rack of a bay, counted from 1: rack7b.
func rackName(bay, rack int) string { return fmt.Sprintf("rack%d%c", bay, 'a'+rack-1) }

// rack adds a piece of gear with sixteen channels.
func (f *facility) rack(name string) {
	fmt.Fprintf(&f.gear, "  %s: {channels: 16, line: pro-line}\n", name)
	f.ports += 32
}

// bay adds a bay with three racks; the last of them feeds the next bay.
func (f *facility) bay(b, of int) {
	fmt.Fprintf(&f.bays, "  bay%d: {pairs: 48, jack: bantam, ground: strapped, modes: half-normal}\n", b)
	for r := 1; r <= 3; r++ {
		f.rack(rackName(b, r))
		top := fmt.Sprintf("%d-%d", 16*r-15, 16*r)
		fmt.Fprintf(&f.wiring, "  - %s/out1-16 -> bay%d/t%s\n", rackName(b, r), b, top)
		switch {
		case r < 3:
			fmt.Fprintf(&f.wiring, "  - bay%d/b%s -> %s/in1-16\n", b, top, rackName(b, r+1))
		case b < of:
			fmt.Fprintf(&f.wiring, "  - bay%d/b%s -> %s/in1-16\n", b, top, rackName(b+1, 1))
		}
	}
}

// matrix adds a matrix with four racks around it, each fed by the one before.
func (f *facility) matrix(m int) {
	kind := "amplifiers"
	if m%2 == 0 {
		kind = "contacts"
	}
	fmt.Fprintf(&f.matrices, "  grid%d: {inputs: 64, outputs: 64, kind: %s}\n", m, kind)
	for r := 1; r <= 4; r++ {
		side := fmt.Sprintf("side%d%c", m, 'a'+r-1)
		f.rack(side)
		run := fmt.Sprintf("%d-%d", 16*r-15, 16*r)
		fmt.Fprintf(&f.wiring, "  - %s/out1-16 -> grid%d/in%s\n  - grid%d/out%s -> %s/in1-16\n", side, m, run, m, run, side)
	}
	var closed []string
	for n := 17; n <= 64; n++ {
		closed = append(closed, fmt.Sprintf("out%d: in%d", n, n-16))
	}
	fmt.Fprintf(&f.rest, "    grid%d: {%s}\n", m, strings.Join(closed, ", "))
}

// straight adds gear that is wired straight to gear, up to a number of ports.
func (f *facility) straight(ports int) {
	left := (ports - f.ports) / 2
	if left > 0 {
		fmt.Fprintf(&f.gear, "  desk: {outputs: {out1-%d: pro-line}}\n  tape: {inputs: {in1-%d: pro-line}}\n", left, left)
		fmt.Fprintf(&f.wiring, "  - desk/out1-%d -> tape/in1-%d\n", left, left)
	}
}

func (f *facility) file(bays int) string {
	return fmt.Sprintf("studio: Facility of %d bays\ngear:\n%sbays:\n%smatrices:\n%swiring:\n%srest:\n  crosspoints:\n%s",
		bays, f.gear.String(), f.bays.String(), f.matrices.String(), f.wiring.String(), f.rest.String())
}
