package houses

import "fmt"

// Clos is a network of three stages (Clos 1953, "A study of non-blocking
// switching networks", Bell System Technical Journal 32): R entries of N inputs
// and M outputs, M matrices of R x R in the middle, R exits of M inputs and N
// outputs; each entry has one wire to each middle one, and each of those one to
// each exit.
type Clos struct {
	N, M, R  int
	Contacts bool
}

func (c Clos) lines() []string {
	kind := ""
	if c.Contacts {
		kind = ", kind: contacts"
	}
	var all []string
	add := func(stage string, count, inputs, outputs int) {
		for i := 1; i <= count; i++ {
			all = append(all, fmt.Sprintf("  %s%d: {inputs: %d, outputs: %d%s}", stage, i, inputs, outputs, kind))
		}
	}
	add("entry", c.R, c.N, c.M)
	add("middle", c.M, c.R, c.R)
	add("exit", c.R, c.M, c.N)
	return all
}

func (c Clos) wires() []string {
	var all []string
	for i := 1; i <= c.R; i++ {
		for m := 1; m <= c.M; m++ {
			all = append(all,
				fmt.Sprintf("entry%d/out%d -> middle%d/in%d", i, m, m, i),
				fmt.Sprintf("middle%d/out%d -> exit%d/in%d", m, i, i, m))
		}
	}
	return all
}

// inputs and outputs are those of the whole network, in order.
func (c Clos) inputs() []string {
	var all []string
	for i := 1; i <= c.R; i++ {
		all = append(all, ports(fmt.Sprintf("entry%d/in", i), 1, c.N)...)
	}
	return all
}

func (c Clos) outputs() []string {
	var all []string
	for i := 1; i <= c.R; i++ {
		all = append(all, ports(fmt.Sprintf("exit%d/out", i), 1, c.N)...)
	}
	return all
}
