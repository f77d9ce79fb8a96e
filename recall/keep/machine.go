package keep

import (
	"time"

	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
)

// machine is everything that the keeper holds, as a value. It does nothing by
// itself: it has no goroutine and no clock, reads no file and asks no device. What
// happens outside comes in as a fact; what is to be done outside goes out as
// effects. A fact or a decision changes a copy, which takes the place of the
// machine once what must be saved is saved; if it cannot be, the machine is as it
// was. The same machine, time and fact give the same copy and effects.
//
// It has parts, each with a state of its own, which all go by the ledger and enter in
// it: the queue of acts, the inquirer of plans, the replanner, the exchange with a
// device, and the switching for test sound. The machine itself does what takes several
// of them: acts, and decisions by its stage.
type machine struct {
	ledger
	devices devices
	asks    asks
	// inquiries are the questions that were put to the planner.
	inquiries inquiries
	replans   replans
	reads     reads
	settling  settling
	journal   journalState
	// keepTrouble is why a patch could not be written into its session's file the last
	// time; keepAgain is when it is to be, after somebody was writing that; zero for never.
	keepTrouble *Problem
	keepAgain   time.Time
	// woke is when the keeper began.
	woke time.Time
	// here are the rooms that are kept here; nil for all.
	here []string
}

// The parts of the machine. Each holds pointers into it, for as long as a fact or a
// decision takes.

func (k *machine) inquirer() inquirer { return inquirer{&k.ledger, &k.inquiries} }

func (k *machine) queue() queue { return queue{&k.ledger, &k.asks, k.inquirer(), &k.devices} }

func (k *machine) replanner() replanner {
	return replanner{&k.ledger, k.inquirer(), &k.replans, &k.asks}
}

func (k *machine) exchange(h *device) exchange {
	return exchange{&k.ledger, k.replanner(), &k.devices, h}
}

func (k *machine) testSound() testSound {
	return testSound{&k.ledger, k.replanner(), &k.devices}
}

// settings are those of a Config that the machine decides by.
type settings struct {
	poll                   time.Duration
	retryFirst, retryMost  time.Duration
	asks, keepsPatch, once bool
}

// journalState is how writing the journal goes.
type journalState struct {
	// trouble is why it could not be written the last time; nil if it could.
	trouble *Problem
	// again is when it is tried again after a failure.
	again time.Time
	// unwritten is what devices did while it could not be written.
	unwritten []Event
}

// effects are what is to be done outside, in the order of the fields: nothing is
// sent, shown or answered before all saves are on the disk.
type effects struct {
	saves  []save
	orders []order
	// questions are to be worked out; stops are the numbers of those whose answers are
	// not needed any more.
	questions []inquiry
	stops     []int
	// settles is to be heard; nil for nothing.
	settles *settles
	// reading is the number of a reading of the files, with those of sessions; 0 for none.
	reading  int
	sessions []string
	// keep is a patch to be written into its session's file; nil for none.
	keep    *keptPatch
	answers []answered
}

// save is one write of the journal.
type save struct {
	memory Memory
	events []Event
	// learned is true for what is so whether it can be written or not, such as what
	// a device answered. Anything else is not done where it cannot be written.
	learned bool
}

// order is a job for a device.
type order struct {
	device int
	job    job
}

// job is one exchange with a device: a read, or a switch where step is set.
type job struct {
	step        *plan.Step
	open, close []patch.Crosspoint
	// proves is the step that a read proves.
	proves *plan.Step
	// identify is true where the device is asked again who it is.
	identify bool
}

// keptPatch is the patch that gave a session.
type keptPatch struct {
	session string
	patch   patch.Patch
}

// answered is the end of an ask. Its status is the room's when it is handed over.
type answered struct {
	ask        int
	unfinished []Unfinished
	plan       *plan.Plan
	touched    *touched
	took       []string
	waits      []Later
	err        error
}

// copy is a machine that can be changed without changing k.
func (k *machine) copy(at time.Time) machine {
	c := *k
	c.at, c.out, c.who = at, effects{}, ""
	c.devices, c.asks = k.devices.clone(), k.asks.clone()
	return c
}

// fact is something that happened outside the machine.
type fact interface {
	// happened changes the machine.
	happened(k *machine)
}

// apply is the machine after a fact, with what is to be done because of it.
func (k *machine) apply(at time.Time, f fact) machine {
	c := k.copy(at)
	f.happened(&c)
	return c
}

// decision is something that the machine does by itself. It says whether there was
// anything to do.
type decision func(k *machine) bool

// decide is the machine after a decision, and whether there was anything to do.
func (k *machine) decide(at time.Time, d decision) (machine, bool) {
	c := k.copy(at)
	return c, d(&c)
}

// first are the decisions that are looked at once after each fact, since time has
// passed; then the others, again and again until there is nothing to do.
var (
	first = []decision{retryJournal, pollDevices, keepLater, noteLateFiles}
	then  = []decision{release, beginAsk, readFiles, goOn, goListening, makePlan, advance, give}
	last  = []decision{answerBegun}
)

// failed notes that the journal could not be written.
func (j *journalState) failed(err error, at time.Time, again time.Duration) {
	if j.trouble == nil {
		j.trouble = &Problem{Code: "journal", Severity: "error", Since: at,
			Message: phrase.Put("Can't write the journal ({reason}). Nothing is changed until it can be written.", "reason", err.Error())}
	}
	j.again = at.Add(again)
}

// halted is true while the journal cannot be written: nothing may be done then.
func (k *machine) halted() bool { return !k.journal.again.IsZero() && !k.due(k.journal.again) }

// retryJournal writes what is so already, to see whether the journal can be
// written again.
func retryJournal(k *machine) bool {
	if k.journal.again.IsZero() || k.halted() {
		return false
	}
	k.save(k.memory)
	return true
}
