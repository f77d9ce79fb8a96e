package keep

// stage is how far the keeper is with what is intended, and says what may be
// begun. Exactly one holds at any time.
type stage uint8

// The stages, the first that holds.
const (
	stageUnknown stage = iota
	// starting: some device was not asked once yet. Nothing is begun.
	starting
	// draining: devices are between two states, and nothing new is begun until none
	// is, since an act waits, a replan is due or the journal cannot be
	// written.
	draining
	// halted: the journal cannot be written. Nothing is begun until it can.
	halted
	// yielding: an act waits until every device has said what it holds, or its plan is
	// made. Nothing is begun for what was intended before.
	yielding
	// replanning: a replan is due, and can be done now.
	replanning
	// switching: devices carry out steps, and others are sent theirs.
	switching
	// settling: all is as intended, and it is being heard what of the silenced stays off.
	stageSettling
	// resting: devices have done what they can; what is left waits for a person.
	resting
)

// stage is the one that the machine is in.
func (k *machine) stage() stage {
	between := k.devices.between()
	yields := k.yields()
	blocked := k.halted() || yields || k.replanner().toReplan()
	switch {
	case k.devices.untried():
		return starting
	case between && blocked:
		return draining
	case k.halted():
		return halted
	case yields:
		return yielding
	case k.replanner().toReplan():
		return replanning
	case between:
		return switching
	case k.settling.open():
		return stageSettling
	}
	return resting
}

// busy says whether devices are still being brought to what is intended.
func (s stage) busy() bool {
	switch s {
	case starting, draining, replanning, switching, stageSettling:
		return true
	case halted, yielding, resting, stageUnknown:
	}
	return false
}

// sends says whether steps may be sent.
func (s stage) sends() bool { return s == switching || s == resting }

// yields says whether an act waits for the devices to come to rest: not while these
// are being brought back from listening.
func (k *machine) yields() bool {
	return (k.asks.yield() || k.queue().ripe() != nil) && !k.testSound().puttingBack()
}
