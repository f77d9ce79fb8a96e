package studio

// Stage is how the electronics or the transformer of a balanced port stand
// behind its two legs.
type Stage uint8

const (
	// StageUnsaid is a port of which the file does not say more than whether it is
	// balanced.
	StageUnsaid Stage = iota
	// ActiveStage drives each leg against ground, or, as an input, takes each leg
	// against ground.
	ActiveStage
	// TransformerStage floats: the signal stands between the legs alone.
	TransformerStage
	// CrossCoupledStage is an electronic output that doubles the hot leg when the
	// cold one is grounded.
	CrossCoupledStage
	// ImpedanceStage is an output that drives its hot leg alone; the cold leg has
	// the same impedance to ground.
	ImpedanceStage
)

// String is the word that files have; empty where nothing was said.
func (s Stage) String() string {
	switch s {
	case ActiveStage:
		return "active"
	case TransformerStage:
		return "transformer"
	case CrossCoupledStage:
		return "cross-coupled"
	case ImpedanceStage:
		return "impedance"
	case StageUnsaid:
	}
	return ""
}

// Stages are those that can be said, in the order of the manual.
func Stages() []Stage {
	return []Stage{ActiveStage, TransformerStage, CrossCoupledStage, ImpedanceStage}
}
