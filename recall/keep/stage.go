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
	// is, since an act waits, the plan is to be made anew or the journal cannot be
	// written.
	draining
	// halted: the journal cannot be written. Nothing is begun until it can.
	halted
	// yielding: an act waits until every device has said what it holds. Nothing is
	// begun for what was intended before.
	yielding
	// replanning: the plan is to be made anew, which can be done now.
	replanning
	// switching: devices carry out steps, and others are sent theirs.
	switching
	// resting: devices have done what they can; what is left waits for a person.
	resting
)

// stage is the one that the machine is in.
func (k *machine) stage() stage {
	between := k.between()
	blocked := k.halted() || k.yields() || k.toReplan()
	switch {
	case k.starts():
		return starting
	case between && blocked:
		return draining
	case k.halted():
		return halted
	case k.yields():
		return yielding
	case k.toReplan():
		return replanning
	case between:
		return switching
	}
	return resting
}

// busy says whether devices are still being brought to what is intended.
func (s stage) busy() bool {
	switch s {
	case starting, draining, replanning, switching:
		return true
	case halted, yielding, resting, stageUnknown:
	}
	return false
}

// sends says whether steps may be sent.
func (s stage) sends() bool { return s == switching || s == resting }

// starts says whether some device was not asked once yet.
func (k *machine) starts() bool {
	for _, d := range k.devices {
		if !d.tried {
			return true
		}
	}
	return false
}

// between says whether any device is on the way from one state to another.
func (k *machine) between() bool {
	for _, d := range k.devices {
		if d.job.counts() {
			return true
		}
	}
	return false
}

// asking says whether any device is being asked anything.
func (k *machine) asking() bool {
	for _, d := range k.devices {
		if d.job != nil {
			return true
		}
	}
	return false
}

// toReplan says whether the plan is to be made anew.
func (k *machine) toReplan() bool { return k.replan != "" || k.reread }

// yields is true while an act waits for the devices to come to rest.
func (k *machine) yields() bool { return len(k.waiting) > 0 && k.waiting[0].fresh() }
