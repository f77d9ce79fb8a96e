package arrange

// flow is how often signals go from outputs to inputs, by weight.
type flow struct {
	// to are those of each output, from those of each input.
	to, from [][]signals
}

// signals go to or from a port so often.
type signals struct {
	port   int
	weight int64
}

func emptyFlow(outputs, inputs int) flow {
	return flow{make([][]signals, outputs), make([][]signals, inputs)}
}

// newFlow is all that sessions want between ports that come to the bays.
func newFlow(d *demand) flow {
	f := emptyFlow(d.outputs, d.inputs)
	for o := range f.to {
		weights := map[int]int64{}
		var inputs []int // in the order of the sessions
		for s, w := range d.weights {
			for _, i := range d.wants[s][o] {
				if i >= d.inputs {
					continue
				}
				if _, has := weights[i]; !has {
					inputs = append(inputs, i)
				}
				weights[i] += w
			}
		}
		for _, i := range inputs {
			f.add(pairing{o, i}, weights[i])
		}
	}
	return f
}

func (f *flow) add(p pairing, weight int64) {
	f.to[p.output] = append(f.to[p.output], signals{p.input, weight})
	f.from[p.input] = append(f.from[p.input], signals{p.output, weight})
}
