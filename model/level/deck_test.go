package level

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// bench is a drawn net, as a person would describe it: an output, a row of jacks
// joined at their rears, and inputs that hang there by wires, cords or relays.
type bench struct {
	stage    string // in the file's word, or none
	ohm      float64
	feed     lead
	branches []branch
	silent   bool // another output on the row, giving nothing
}

// lead is a cable: no metres, no cable to speak of.
type lead struct {
	metres float64
	cold   string
}

type branch struct {
	by          string // wire, cord or relay
	poles       int    // of the cord
	cordMetres  float64
	wire        lead
	load        float64
	stage       string // "false", "true", active or transformer
	throughPlug bool   // the wire has a two-pole plug at the input
}

// Values of the cable that all of a drawn bench is made of.
const (
	coresPF, shieldPF, ohmPerMetre = 60, 110, 0.08
)

func pick[T any](r *rand.Rand, all ...T) T { return all[r.IntN(len(all))] }

// drawBench draws one source, one to eight inputs and up to five cables.
func drawBench(seed uint64) bench {
	r := rand.New(rand.NewPCG(seed, 6))
	cables := r.IntN(6)
	metres := func() float64 {
		if cables == 0 || r.IntN(2) == 0 {
			return 0
		}
		cables--
		return float64(1+r.IntN(1500)) / 10
	}
	cold := func() string { return pick(r, "", "", "", "carried", "open", "grounded") }
	b := bench{stage: pick(r, "false", "active", "transformer", "cross-coupled", "impedance"), ohm: pick(r, 0.1, 40, 100, 150, 600, 1e3, 2e3, 10e3)}
	b.feed = lead{metres(), cold()}
	b.silent = r.IntN(8) == 0
	for range 1 + r.IntN(8) {
		b.branches = append(b.branches, branch{
			// A cord of which nothing is said is as long as it must be.
			by: pick(r, "wire", "cord", "relay"), poles: pick(r, 3, 3, 2), cordMetres: max(metres(), 0.1), wire: lead{metres(), cold()},
			load: pick(r, 600, 1.5e3, 10e3, 22e3, 1e6), stage: pick(r, "false", "true", "active", "transformer"), throughPlug: r.IntN(10) == 0,
		})
	}
	return b
}

// file is the bench as a studio's file.
func (b bench) file() string {
	var gear, wires, mult, cords, relays strings.Builder
	const line = "kind: line, level: 0 dBu, max: +20 dBu"
	fmt.Fprintf(&gear, "  source: {outputs: {out1: {line: any, source: %v ohm, balanced: %s}}}\n", b.ohm, b.stage)
	wires.WriteString(wireLine("source/out1", "main/t1", b.feed, false))
	mult.WriteString("main/t1")
	if b.silent {
		fmt.Fprintf(&gear, "  silent: {outputs: {out1: {line: any, source: 300 ohm, balanced: active}}}\n")
		wires.WriteString(wireLine("silent/out1", "main/b20", lead{}, false))
		mult.WriteString(", main/b20")
	}
	for i, br := range b.branches {
		n := i + 2
		fmt.Fprintf(&gear, "  to-%c: {inputs: {in1: {line: any, load: %v ohm, balanced: %s}}}\n", 'a'+i, br.load, br.stage)
		fmt.Fprintf(&mult, ", main/t%d", n)
		from := fmt.Sprintf("main/t%d", n)
		switch br.by {
		case "cord":
			from = fmt.Sprintf("main/b%d", n)
			fmt.Fprintf(&cords, "    - {ends: [main/t%d, %s], poles: %d, length: %v m}\n", n, from, br.poles, br.cordMetres)
		case "relay":
			wires.WriteString(wireLine(from, fmt.Sprintf("grid/in%d", n), lead{}, false))
			from = fmt.Sprintf("grid/out%d", n)
			fmt.Fprintf(&relays, "out%d: in%d, ", n, n)
		}
		wires.WriteString(wireLine(from, fmt.Sprintf("to-%c/in1", 'a'+i), br.wire, br.throughPlug))
	}
	return "studio: A drawn bench\nlines: {any: {" + line + ", source: 100 ohm, load: 10 kohm}}\n" +
		fmt.Sprintf("cables: {pair: {cores: %d pF/m, shield: %d pF/m, resistance: %v ohm/m}, cord: {cores: %d pF/m, shield: %d pF/m, resistance: %v ohm/m}}\n",
			coresPF, shieldPF, ohmPerMetre, coresPF, shieldPF, ohmPerMetre) +
		"gear:\n" + gear.String() + "bays: {main: {pairs: 20, modes: isolated}}\nmatrices: {grid: {inputs: 20, outputs: 20, kind: contacts}}\n" +
		"wiring:\n" + wires.String() + "mults:\n  - [" + mult.String() + "]\nrest:\n  cords:\n" + cords.String() +
		"  crosspoints: {grid: {" + strings.TrimSuffix(relays.String(), ", ") + "}}\n"
}

func wireLine(from, to string, l lead, twoPole bool) string {
	text := "  - {from: " + from + ", to: " + to
	if l.metres > 0 {
		text += fmt.Sprintf(", length: %v m", l.metres)
	}
	if l.cold != "" {
		text += ", cold: " + l.cold
	}
	if twoPole {
		text += ", plugs: [bare, ts]"
	}
	return text + "}\n"
}

// deck writes circuits for a circuit simulator. It shares nothing with the model
// but the table of networks: each element of the bench is written out by itself,
// with ten micro-ohm where the bench has bare metal.
type deck struct {
	text  strings.Builder
	parts int
}

func (d *deck) part(letter string, a, b, value string) {
	d.parts++
	fmt.Fprintf(&d.text, "%s%d %s %s %s\n", letter, d.parts, a, b, value)
}

const bare = "10u"

// bench adds a bench whose nodes begin with a name.
func (d *deck) bench(name string, b bench) {
	h, c := name+"sh", name+"sc"
	d.output(name, h, c, b.stage, b.ohm, "1")
	mh, mc := name+"mh", name+"mc"
	d.cable(name+"f", h, c, mh, mc, b.feed)
	if b.silent {
		d.output(name+"q", mh, mc, "active", 300, "0")
	}
	for i, br := range b.branches {
		at := fmt.Sprintf("%sb%d", name, i)
		fromH, fromC := mh, mc
		if br.by == "cord" {
			fromH, fromC = at+"ch", at+"cc"
			d.cable(at+"k", mh, mc, fromH, fromC, lead{metres: br.cordMetres})
			if br.poles == 2 {
				d.part("r", mc, "0", bare)
				d.part("r", fromC, "0", bare)
			}
		}
		inH, inC := at+"h", at+"c"
		d.cable(at+"w", fromH, fromC, inH, inC, br.wire)
		if br.throughPlug {
			d.part("r", inC, "0", bare)
		}
		d.input(inH, inC, br.stage, br.load)
	}
}

func (d *deck) output(name, h, c, stage string, ohm float64, volt string) {
	half := fmt.Sprint(ohm / 2)
	source := func(plus, minus, value string) { d.part("v"+name, plus, minus, "dc 0 ac "+value) }
	e, f := name+"e", name+"f0"
	switch stage {
	case "false":
		source(e, "0", volt)
		d.part("r", e, h, fmt.Sprint(ohm))
		d.part("r", c, "0", bare)
	case "active":
		source(e, "0", "'"+volt+"/2'")
		d.part("r", e, h, half)
		source("0", f, "'"+volt+"/2'")
		d.part("r", f, c, half)
	case "impedance":
		source(e, "0", volt)
		d.part("r", e, h, half)
		d.part("r", c, "0", half)
	default: // it floats
		source(e, c, volt)
		d.part("r", e, h, fmt.Sprint(ohm))
		d.part("r", c, "0", "1g")
	}
}

// cable is a pi of each core; a cold core that is not carried hangs at the far
// end.
func (d *deck) cable(name, h, c, toH, toC string, l lead) {
	if l.cold == "grounded" {
		d.part("r", c, "0", bare)
	}
	if l.metres == 0 {
		d.part("r", h, toH, bare)
		if l.cold != "open" {
			d.part("r", c, toC, bare)
		}
		d.part("r", toC, "0", "1t")
		return
	}
	ohm := fmt.Sprint(ohmPerMetre * l.metres)
	d.part("r", h, toH, ohm)
	near := toC
	if l.cold != "open" {
		near = c
		d.part("r", c, toC, ohm)
	}
	half := func(pF float64) string { return fmt.Sprintf("%vp", pF*l.metres/2) }
	for _, end := range [][2]string{{h, near}, {toH, toC}} {
		d.part("c", end[0], end[1], half(coresPF))
		d.part("c", end[0], "0", half(shieldPF))
		d.part("c", end[1], "0", half(shieldPF))
	}
	d.part("r", toC, "0", "1t")
}

func (d *deck) input(h, c, stage string, ohm float64) {
	switch stage {
	case "false":
		d.part("r", h, "0", fmt.Sprint(ohm))
		d.part("r", c, "0", bare)
	case "active":
		d.part("r", h, "0", fmt.Sprint(ohm/2))
		d.part("r", c, "0", fmt.Sprint(ohm/2))
	default:
		d.part("r", h, c, fmt.Sprint(ohm))
	}
}
