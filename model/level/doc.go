// Package level says what arrives at a destination: how much of a source's
// level, what clips first, what the cables take from the treble.
//
// Vocabulary: a net is metal that is joined, as package heard has it, here with
// the resistance and the capacitance of its cables; a place is a part of a net
// in which there is no cable; hot and cold are the two legs of a place. The
// response of a net is what stands at an input for one volt of the open output.
// A stage is how a balanced output drives its legs; where nobody said, all of
// them are tried, and the answer is a range. An arrival is one source heard at
// one destination, with what is known of its level.
//
// Networks are lumped: a quarter of a wave at 20 kHz is about 2.5 km of cable.
// What is not known stays unknown: without a length there is no bandwidth. The
// low end is not modelled; coupling capacitors and transformers set it. Nothing
// here says that something is safe to the ear.
package level
