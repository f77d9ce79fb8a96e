package text

import (
	"slices"

	"bayhand/model/measure"
	"bayhand/model/studio"
)

// runFields are the fields that the long forms of wires and ties share.
var runFields = []Field{
	{Key: "cable", Kind: Text, Form: "d-sub-1", Help: "the number of the cable, for the schedule"},
	{Key: "plugs", Kind: Texts, Form: "[d-sub, bare]", Help: "the connectors at both ends, for the schedule"},
	{Key: "kind", Kind: Text, Form: "pair-8", Help: "the kind of cable"},
	{Key: "length", Kind: Length, Form: "4 m", Help: "how long the cable is; without it the way between places that are known"},
	{Key: "cold", Kind: Word, Words: []string{"carried", "open", "grounded"}, Form: "open", Help: "what its left end does with the cold leg: joins it through, leaves it open, joins it with the shield"},
	{Key: "shield", Kind: Word, Words: []string{"both", "source", "destination"}, Form: "both", Help: "the ends at which the shield is joined; the source's is the left one"},
}

var tieFields = Table{Name: "a tie", Fields: append([]Field{
	{Key: "from", Kind: Text, Form: "main/t41-44", Required: true, Help: "the jacks at one end"},
	{Key: "to", Kind: Text, Form: "far/t1-4", Required: true, Help: "the jacks at the other end"},
}, runFields...)}

var cableFields = Table{Name: "a kind of cable", Fields: []Field{
	{Key: "cores", Kind: Capacity, Form: "60 pF/m", Help: "the capacitance between the cores of a pair"},
	{Key: "shield", Kind: Capacity, Form: "110 pF/m", Help: "the capacitance of each core to the shield"},
	{Key: "resistance", Kind: Resistivity, Form: "0.08 ohm/m", Help: "the resistance of one core"},
	{Key: "pairs", Kind: Number, From: 1, To: 99, Form: "8", Help: "how many pairs stand in one jacket"},
	{Key: "spare", Kind: Length, Form: "0.5 m", Help: "what a cable has at each end beyond the way between its places"},
	{Key: "colours", Kind: Texts, Form: "[WH BU, WH OG]", Help: "the cores of each pair, hot then cold, in the codes of IEC 60757, for the schedule"},
}}

var referenceFields = Table{Name: "the reference", Fields: []Field{
	{Key: "0 dBFS", Kind: Level, Form: "+24 dBu", Required: true, Help: "the level of full scale"},
}}

// cableReader reads kinds of cable, and what a wire or tie says of its own.
type cableReader struct {
	*reader
	file *studioReader
	// names are those of the kinds, built-in ones first.
	names []string
}

// kinds reads the studio's own kinds of cable, on top of the built-in ones.
func (r *cableReader) kinds(n *node) {
	known := map[string]studio.Cable{}
	for _, c := range studio.BuiltInCables() {
		known[c.Name] = c
		r.names = append(r.names, c.Name)
	}
	r.file.records(n, func(key, value *node) {
		c, builtIn := known[key.text]
		v := r.fields(value, cableFields)
		if !builtIn {
			r.needCableValues(v)
			c = studio.Cable{Name: key.text, Pairs: 1, Spare: measure.Metre / 2}
			r.names = append(r.names, key.text)
		}
		r.file.studio.Cables = append(r.file.studio.Cables, r.cableOf(v, c))
	})
}

// needCableValues: a kind of cable of one's own has nothing to fall back on.
func (r *cableReader) needCableValues(v values) {
	for _, key := range []string{"cores", "shield"} {
		if v.node.field(key) == nil {
			f, _ := cableFields.Field(key)
			r.report(r.placeOf(v.node), "missing", form(f), "a kind of cable that is not built in needs the key %s", key)
		}
	}
}

// cableOf is a kind of cable with the values that a mapping gives anew.
func (r *cableReader) cableOf(v values, c studio.Cable) studio.Cable {
	c.Cores = measured(v, "cores", measure.ParseCapacity, c.Cores)
	c.Shield = measured(v, "shield", measure.ParseCapacity, c.Shield)
	c.Resistance = measured(v, "resistance", measure.ParseResistivity, c.Resistance)
	c.Pairs = v.number("pairs", c.Pairs)
	if c.Spare = measured(v, "spare", measure.ParseLength, c.Spare); c.Spare < 0 {
		r.fault(v.of["spare"], "quantity", "", "%s stands here; what is spare is 0 cm or more", quoteText(v.text("spare")))
		c.Spare = 0
	}
	if v.has("colours") {
		c.Colours = r.coloursOf(v.of["colours"], c.Pairs)
	}
	return c
}

// cable is the kind of cable that a scalar names; empty where nothing stands
// there or no kind is called that.
func (r *cableReader) cable(n *node) string {
	switch {
	case n == nil:
		return ""
	case !slices.Contains(r.names, n.text):
		r.fault(n, "unknown-name", maybe(n.text, r.names), "no kind of cable is called %s; there are %s", quoteText(n.text), oneOf(r.names))
		return ""
	}
	return n.text
}

// run reads what a wire or tie in its long form says of the cable.
func (r *cableReader) run(v values) studio.Run {
	run := studio.Run{Cable: v.text("cable"), Kind: r.cable(v.of["kind"]), Length: r.positive(v, "length")}
	if v.has("plugs") {
		texts := v.texts("plugs")
		if len(texts) == 2 {
			run.Plugs = [2]string(texts)
		} else {
			r.fault(v.of["plugs"], "count", "write [d-sub, bare]", "plugs are two, one for each end")
		}
	}
	word := v.word("cold")
	for _, c := range []studio.Cold{studio.ColdCarried, studio.ColdOpen, studio.ColdGrounded} {
		if word == c.String() {
			run.Cold = c
		}
	}
	word = v.word("shield")
	for _, s := range []studio.Shield{studio.ShieldBoth, studio.ShieldSource, studio.ShieldDestination} {
		if word == s.String() {
			run.Shield = s
		}
	}
	return run
}

func (r *studioReader) reference(n *node) studio.Reference {
	v := r.fields(n, referenceFields)
	if !v.has("0 dBFS") {
		return studio.Reference{}
	}
	return studio.Reference{Said: true, FullScale: measured(v, "0 dBFS", measure.ParseLevel, 0)}
}

// fitsDirection refuses what an input or an output cannot have.
func (r *reader) fitsDirection(v values, p studio.Port) {
	if p.Direction != studio.Input {
		return
	}
	for _, key := range []string{"min-load", "level-into"} {
		if v.has(key) {
			r.fault(v.of[key], "direction", "take it out", "%s is of outputs; %s is an input", key, p.Point)
		}
	}
	if stage := v.of["balanced"]; stage != nil && (stage.text == "cross-coupled" || stage.text == "impedance") {
		r.fault(stage, "direction", "write active or transformer, or true", "an output can be %s; %s is an input", stage.text, p.Point)
	}
}
