package schedule

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// recipe is what is done with the cold leg, and why.
type recipe struct{ cold, because string }

// Recipes by what drives and what takes; the reasons are those of the trade.
var (
	carried    = recipe{"carried", ""}
	outOfJack  = recipe{"carried", "the joining belongs at the gear's end, never at the bay's jack"}
	unbalanced = recipe{"grounded", "the cold core goes to the source's sleeve, the hot core to its tip"}
	straight   = recipe{"grounded", "unbalanced throughout: one core and the shield"}
	hotOnly    = recipe{"open", "both legs are driven: the cold one stays open at the source, for 6.02 dB less; grounded it is shorted"}
	atSource   = recipe{"grounded", "joined to the shield at the source: no level is lost, headroom is 6.02 dB less; never at the far end, where it may oscillate"}
	atFarEnd   = recipe{"carried", "a transformer floats: the cold core is joined to the sleeve at the destination; open it is silent"}
	eitherEnd  = recipe{"carried", "only the hot leg is driven: the cold core is joined to the sleeve at the destination, and nothing is lost"}
	undecided  = recipe{"", "undecided: say of which kind the output is (balanced: active, transformer, cross-coupled or impedance); an open cold leg silences a transformer, a grounded one shorts a driven leg"}
	byPatch    = recipe{"carried", "what is patched to it decides; the cold core is joined or left open at this gear, as its source needs"}
)

func (m *maker) pair(number int, l line) Pair {
	p := Pair{Pair: number, From: m.end(l.from, l.run.Plugs[0]), To: m.end(l.to, l.run.Plugs[1]), Key: l.key}
	r := m.recipe(l)
	p.Cold, p.Because = r.cold, r.because
	if l.run.Cold != studio.ColdUnsaid {
		p.Cold, p.Because = l.run.Cold.String(), "as the file says"
	}
	p.Shield = l.run.Shield.String()
	if p.Shield == "" {
		p.Shield = studio.ShieldBoth.String()
	}
	return p
}

func (m *maker) recipe(l line) recipe {
	_, fromGear := m.ports[l.from]
	_, toGear := m.ports[l.to]
	from, to := m.balanced(l.from), m.balanced(l.to)
	switch {
	case l.tie:
		return carried
	case fromGear && !from && toGear && !to:
		return straight
	case fromGear && !from:
		return unbalanced
	case to:
		return carried
	case !fromGear:
		return m.fromBay(l.from)
	}
	return byStage(m.ports[l.from].Line.Stage)
}

// byStage is for a balanced output into an unbalanced input.
func byStage(stage studio.Stage) recipe {
	switch stage {
	case studio.ActiveStage:
		return hotOnly
	case studio.CrossCoupledStage:
		return atSource
	case studio.TransformerStage:
		return atFarEnd
	case studio.ImpedanceStage:
		return eitherEnd
	case studio.StageUnsaid:
	}
	return undecided
}

// fromBay is for a jack whose wire goes to an unbalanced input: what the normal brings
// there decides as far as anything does.
func (m *maker) fromBay(jack name.Point) recipe {
	b, is := m.bays[jack.Owner]
	if !is || jack.Number < 1 || jack.Number > b.Pairs() {
		return byPatch
	}
	source, driven := m.source[studio.OtherJack(jack)]
	mode := b.Modes[jack.Number-1]
	if !driven || mode == studio.Isolated || mode == studio.ModeUnknown {
		return byPatch
	}
	if port, gear := m.ports[source]; gear && !port.Line.Balanced {
		return outOfJack
	}
	return byPatch
}
