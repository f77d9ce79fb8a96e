package studio

import "bayhand/model/measure"

// Cable is a kind of cable: what a metre of it does to a signal.
type Cable struct {
	Name string
	// Cores is the capacitance between the two cores of a pair, Shield that of
	// each core to the shield.
	Cores, Shield measure.Capacity
	// Resistance is that of one core.
	Resistance measure.Resistivity
	// Pairs is how many pairs stand in one jacket, 1 or more.
	Pairs int
	// Spare is what a cable has at each end beyond the way between its places.
	Spare measure.Length
	// Colours are those of the cores, a pair each, in the codes of IEC 60757: the hot
	// core first, then the cold one, as in WH BU. Nothing where nobody said.
	Colours []string
}

// BuiltInCables are the kinds of cable that every studio has. A pair shows a
// balanced signal about 100 pF/m, its cores and half of the capacitance to the
// shield: typical of the trade, from memory. The resistance is that of copper
// (17.24 nohm m, IEC 60028) of 0.22 mm2 in a pair, of 0.14 mm2 in a multipair
// and of 0.38 mm2 in the core of a coaxial cable; a coaxial cable has one core.
func BuiltInCables() []Cable {
	const halfMetre = measure.Metre / 2
	return []Cable{
		{Name: "pair", Cores: 50, Shield: 100, Resistance: 0.078, Pairs: 1, Spare: halfMetre},
		{Name: "pair-8", Cores: 50, Shield: 100, Resistance: 0.123, Pairs: 8, Spare: halfMetre},
		{Name: "coax", Cores: 0, Shield: 100, Resistance: 0.045, Pairs: 1, Spare: halfMetre},
		{Name: "cord", Cores: 50, Shield: 100, Resistance: 0.078, Pairs: 1},
	}
}

// Run is what is known of a permanent cable beside its two ends. The zero Run
// knows nothing.
type Run struct {
	// Cable is its number or name, and Plugs are the connectors at its ends, as a
	// person finds them at the rear; empty where nothing was said.
	Cable string
	Plugs [2]string
	// Kind is the name of its kind of cable; empty where nothing was said.
	Kind string
	// Length is 0 where nothing was said.
	Length measure.Length
	Cold   Cold
	Shield Shield
}

// Turned is the same cable seen from its other end. What is known of the leg at its
// source's end is said of that end alone, and is left out.
func (r Run) Turned() Run {
	r.Plugs[0], r.Plugs[1] = r.Plugs[1], r.Plugs[0]
	r.Cold = ColdUnsaid
	switch r.Shield {
	case ShieldSource:
		r.Shield = ShieldDestination
	case ShieldDestination:
		r.Shield = ShieldSource
	case ShieldUnsaid, ShieldBoth:
	}
	return r
}

// Cold is what the source's end of a cable does with the cold leg.
type Cold uint8

const (
	// ColdUnsaid is a cable of which the file does not say; it carries the leg.
	ColdUnsaid Cold = iota
	// ColdCarried joins the cold leg from end to end.
	ColdCarried
	// ColdOpen leaves it open at the source's end.
	ColdOpen
	// ColdGrounded joins it with the shield at the source's end.
	ColdGrounded
)

// String is the word that files have; empty where nothing was said.
func (c Cold) String() string {
	switch c {
	case ColdCarried:
		return "carried"
	case ColdOpen:
		return "open"
	case ColdGrounded:
		return "grounded"
	case ColdUnsaid:
	}
	return ""
}

// Shield is at which ends the shield of a cable is joined.
type Shield uint8

const (
	// ShieldUnsaid is a cable of which the file does not say; it is joined at both
	// ends.
	ShieldUnsaid Shield = iota
	// ShieldBoth is joined at both ends.
	ShieldBoth
	// ShieldSource is joined at the end that the signal comes from.
	ShieldSource
	// ShieldDestination is joined at the end that the signal goes to.
	ShieldDestination
)

// String is the word that files have; empty where nothing was said.
func (s Shield) String() string {
	switch s {
	case ShieldBoth:
		return "both"
	case ShieldSource:
		return "source"
	case ShieldDestination:
		return "destination"
	case ShieldUnsaid:
	}
	return ""
}

// Reference is what full scale of the interface is. The zero Reference means
// that the file does not say.
type Reference struct {
	Said bool
	// FullScale is the level of 0 dBFS.
	FullScale measure.Level
}
